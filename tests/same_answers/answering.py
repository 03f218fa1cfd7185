"""Answers by every way in as plain bytes, without what names a version: content digests.

Only what the package offers to everybody is imported, so that versions with other insides can be compared.
"""

from __future__ import annotations

import gc
import hashlib
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import orjson

import splicewright

WAYS: Mapping[str, Callable[[Any], Mapping[str, Any]]] = {
    "choose": splicewright.choose,
    "check": splicewright.check_splice,
    "box": splicewright.fill_box,
    "job": splicewright.plan_job,
}
_OF_A_VERSION = ("answer", "digest")


def answered(way: str, asked: bytes) -> bytes:
    """Answer a request (JSON text): the answer, or why it was refused, as JSON text with its keys in order."""
    try:
        answer: Any = WAYS[way](orjson.loads(asked))
    except splicewright.Refused as error:
        answer = {"refused": [{"pointer": problem.pointer, "says": problem.says} for problem in error.problems]}
    except Exception as error:  # noqa: BLE001 - a fault is an answer too: it is told, and may not come or go unseen
        answer = {"fault": f"{type(error).__name__}: {error}"}
    return orjson.dumps(_lasting(answer), option=orjson.OPT_SORT_KEYS)


def _lasting(value: Any) -> Any:
    """Give plain data without the digests that change with every change of the rules' files."""
    if isinstance(value, Mapping):
        return {
            key: _lasting(inner)
            for key, inner in value.items()
            if not (key in _OF_A_VERSION and isinstance(inner, str))
        }
    return [_lasting(inner) for inner in value] if isinstance(value, list | tuple) else value


def digest(answer: bytes) -> str:
    """Give what an answer is told apart by."""
    return hashlib.sha256(answer).hexdigest()


def as_lines(some: Sequence[tuple[str, bytes]]) -> list[bytes]:
    """Answer requests, each by its way: lines of digest, way, request and answer, with tabs between."""
    found = []
    for way, asked in some:
        answer = answered(way, asked)
        found.append(b"\t".join((digest(answer).encode(), way.encode(), asked, answer)) + b"\n")
    return found


def unlike(some: Sequence[tuple[str, str, bytes]]) -> list[bool]:
    """Answer requests (digest, way, request) and tell of each whether its digest is another now."""
    return [digest(answered(way, asked)) != known for known, way, asked in some]


def started() -> None:
    """Read the rules and leave them out of garbage collections."""
    answered("choose", b'{"joint":{"conductors":[{"size":"12 AWG","count":2}]}}')
    gc.freeze()
    gc.set_threshold(20_000, 10, 10)
