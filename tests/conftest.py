from __future__ import annotations

from hypothesis import settings

import tests.chosen  # noqa: F401 - before anything is started

# No deadline for one example: the first to convert a unit also loads the unit library.
settings.register_profile("splicewright", deadline=None)
settings.load_profile("splicewright")
