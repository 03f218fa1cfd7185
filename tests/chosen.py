"""Which tests that need more than Python are to run; CI runs all of them.

`SPLICEWRIGHT_CLIENT_TESTS=1` and its like choose them. They are taken out of the environment here, before any server is
started from it: the service refuses a setting that it does not know. The processes that share the tests inherit the
choice by a name of its own.
"""

from __future__ import annotations

import os

_INHERITED = "CHOSEN_TESTS"
CHOSEN = frozenset(os.environ.get(_INHERITED, "").split()) | frozenset(
    name
    for name in list(os.environ)
    if name.startswith("SPLICEWRIGHT_") and name.endswith("_TESTS") and os.environ.pop(name) == "1"
)
os.environ[_INHERITED] = " ".join(CHOSEN)
