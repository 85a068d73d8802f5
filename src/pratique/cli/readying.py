"""The compiled loops of the reckoning made ready, and said where that takes long."""

import typer

MAKING_READY = "Making the reckoning ready: about 20 seconds, once."


def say_if_cold() -> bool:
    """Say on standard error that the loops have to be compiled first, where nobody has reckoned on this machine yet."""
    from pratique.casework.reckoning.warming import is_warm  # noqa: PLC0415 - loads the loops

    if is_warm():
        return False
    typer.echo(MAKING_READY, err=True)
    return True


def make_ready() -> None:
    """Compile the loops now, where nobody has reckoned on this machine yet."""
    if say_if_cold():
        from pratique.casework.reckoning.warming import warm_up  # noqa: PLC0415 - loads the loops

        warm_up()
