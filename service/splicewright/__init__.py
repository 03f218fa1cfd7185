"""Which splice method, for these conductors, here, and why."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from splicewright.answering import choose
    from splicewright.box import fill_box
    from splicewright.inspection import check_splice
    from splicewright.job import plan_job
    from splicewright.refusals import Refused

__all__ = ["Refused", "check_splice", "choose", "fill_box", "plan_job"]

_FROM = {
    "Refused": "splicewright.refusals",
    "check_splice": "splicewright.inspection",
    "choose": "splicewright.answering",
    "fill_box": "splicewright.box",
    "plan_job": "splicewright.job",
}


def __getattr__(name: str) -> Any:
    # Imported when first used: a command that answers no question need not load the engine.
    if name not in _FROM:
        raise AttributeError(name)
    return getattr(importlib.import_module(_FROM[name]), name)
