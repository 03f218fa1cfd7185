"""Tells what an entry is by its keys: a check, a question, a box or a job."""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import SequenceMatcher
from typing import Any, Literal

from splicewright.refusals import shown

Kind = Literal["check", "question", "box", "job"]
#: Keys that tell an entry is meant for us, each with what it makes of it. The first that is there decides.
TELLING: dict[str, Kind] = {
    "proposal": "check",
    "joint": "question",
    "wires": "box",
    "box": "box",
    "joints": "job",
    "boxes": "job",
}
_WRITTEN = re.compile(
    rb"""(?m)(?:^[ \t\r\f\v\[{-]*|[{,]\s*)["']?(?:%s)["']?\s*:""" % b"|".join(key.encode() for key in TELLING)
)
_NEAR = 0.8


def kind_of(value: Any) -> Kind | None:
    """Tell what an entry is; None: nothing of ours."""
    if not isinstance(value, Mapping) or _is_answer(value):
        return None
    return next((kind for key, kind in TELLING.items() if key in value), None)


def misspelled(value: Any) -> tuple[str, str] | None:
    """Give a key that was meant to be a telling one, and that one, where an entry has none."""
    if not isinstance(value, Mapping) or _is_answer(value):
        return None
    pairs = ((str(key), right) for key in value for right in TELLING if str(key)[:1] == right[0])
    near = [(SequenceMatcher(None, key[:40], right).ratio(), key, right) for key, right in pairs]
    best = max(near, default=(0.0, "", ""))
    return best[1:] if best[0] >= _NEAR else None


def _is_answer(value: Mapping[str, Any]) -> bool:
    """Tell an answer of our own, or a finding of an earlier report, saved beside the questions."""
    return isinstance(value.get("rulesets"), Mapping) or value.keys() >= {"fingerprint", "level", "rule", "says"}


def written_in(text: bytes) -> bool:
    """Tell whether text that is no YAML or JSON was meant for us: a telling key stands in it as a key."""
    return _WRITTEN.search(text) is not None


def unrecognized(value: Any) -> str:
    """Word the refusal of an entry that is nothing of ours."""
    near = misspelled(value)
    if near:
        return f"unknown key {shown(near[0])}; did you mean {near[1]!r}?"
    if not isinstance(value, Mapping):
        return f"{shown(value)} is no question, check, box or job"
    return "is no question, check, box or job: it has none of the keys " + ", ".join(sorted(TELLING))
