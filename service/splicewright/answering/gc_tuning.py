"""How the garbage collector goes about in processes that answer for long.

What rules and catalogues are made of stays; looking through all of it again and again took a tenth of the time of
answers. So it is left out, and the collector waits longer: answers leave few cycles behind.
"""

from __future__ import annotations

import gc

_NEW_OBJECTS = 20_000  # between two collections of new ones


def settle() -> None:
    """Collect now, and leave what there is then out of later collections. To be called once rules are read.

    It holds for the whole process, and may be called again when other rules were taken into use.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()
    gc.set_threshold(_NEW_OBJECTS, *gc.get_threshold()[1:])
