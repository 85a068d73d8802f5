"""Keep the collector of cyclic garbage from walking, in the middle of a page, over all that was loaded at the start."""

import gc

# One page of a long ledger holds some ten thousand small objects at once, none of them in cycles.
_OBJECTS_BETWEEN_LOOKS = 200_000


def settle_memory() -> None:
    """Set aside what is loaded now, and look for cyclic garbage less often. Called once, when the server is up."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(_OBJECTS_BETWEEN_LOOKS, 20, 50)
