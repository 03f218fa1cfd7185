"""What to look for on a connector's carton, read from the rulesets."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import cast

from splicewright import shipped


def look_for(key: str) -> str:
    """Give what to look for, by the key of a listing. Raises KeyError."""
    return _look_for()[key]


@functools.cache
def _look_for() -> Mapping[str, str]:
    path = shipped.folder("rulesets") / "words" / "carton.yaml"
    return cast("Mapping[str, str]", shipped.read_data_file(path, path.name).value["look_for"])
