"""Keep the collector of cyclic garbage from walking, in the middle of a page, over all that was loaded at the start."""

import gc

# Reading one page makes some ten thousand small objects, none of them in cycles.
_OBJECTS_BETWEEN_LOOKS = 50_000


def settle_memory() -> None:
    """Set aside what is loaded now, and look for cyclic garbage less often. Called once, when the server is up."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(_OBJECTS_BETWEEN_LOOKS, 20, 50)
