"""What to look for on a connector's carton, read from the rulesets."""

from __future__ import annotations

import functools
from collections.abc import Collection, Mapping
from typing import Any, cast

from splicewright import shipped

_NOTHING = "nothing;"  # begins what is said of a key that no carton tells


def look_for(key: str) -> str:
    """Give what to look for, by the key of a listing; empty where that is nothing of a carton's. Raises KeyError."""
    found = cast("str", _carton()["look_for"][key])
    return "" if found.startswith(_NOTHING) else found


def look_for_column(sheet: str, heading: str, key: str) -> str:
    """Give what to look for to fill a column of a sheet in; empty where nothing is said of it."""
    carton = _carton()
    return cast("str", carton["columns"].get(sheet, {}).get(heading) or carton["look_for"].get(key, ""))


def carton_keys() -> Collection[str]:
    """Give the keys of a listing of which it is told what to look for."""
    return cast("Mapping[str, str]", _carton()["look_for"]).keys()


@functools.cache
def _carton() -> Mapping[str, Any]:
    path = shipped.folder("rulesets") / "words" / "carton.yaml"
    return cast("Mapping[str, Any]", shipped.read_data_file(path, path.name).value)
