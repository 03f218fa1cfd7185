"""Small jobs for tests."""

from __future__ import annotations

from typing import Any

from splicewright.job import plan_job

PAIR = {"conductors": [{"size": "12 AWG", "count": 2}]}
THREE = {"conductors": [{"size": "12 AWG", "count": 3}]}
TWELVE = {"conductors": [{"size": "12 AWG", "count": 12, "role": "grounded"}]}
BARRED = {"joint": PAIR, "place": {"enclosure": "raceway"}}
REFERRED = {"joint": PAIR, "circuit": {"kind": "service"}}
BOX = {
    "box": {"name": "4 x 1-1/2 square"},
    "clamps": "none",
    "wires": [{"size": "12 AWG", "count": 4}, {"size": "12 AWG", "path": "stays"}],
}


def job(*joints: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Give the answer to a job of these joints."""
    return plan_job({"joints": list(joints), **more})


def takeoff(answer: dict[str, Any]) -> dict[str, tuple[int, int]]:
    """Give count and spare by connector."""
    return {one["connector"]: (one["count"], one["spare_count"]) for one in answer["takeoff"]}
