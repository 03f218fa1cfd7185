"""Requests about boxes for tests: a plain one, parts laid over it, and generated ones."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from splicewright.tables.boxes import standard_boxes

SQUARE = "4 x 1-1/2 square"  # 21 in3
SIZES = ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG")
TWELVE = {"size": "12 AWG"}
SIX = {"size": "12 AWG", "count": 6}


def box(*wires: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Give a request: these wires (six 12 AWG if none), no clamps where nothing is said, and these parts."""
    return {"clamps": "none", "wires": list(wires) or [SIX], **parts}


def joint(*conductors: dict[str, Any], **parts: Any) -> dict[str, Any]:
    """Give a joint's question: these conductors (two 12 AWG if none) and these parts."""
    return {"joint": {"conductors": list(conductors) or [{**TWELVE, "count": 2}]}, **parts}


wires = st.fixed_dictionaries(
    {"size": st.sampled_from(SIZES)},
    optional={
        "count": st.integers(1, 12),
        "path": st.sampled_from(["ends", "through", "looped", "stays"]),
        "role": st.sampled_from(["ungrounded", "grounded", "equipment-grounding", "isolated-grounding", "control"]),
    },
)
canopy_wires = st.fixed_dictionaries(
    {"size": st.sampled_from(SIZES), "canopy": st.just(True)},
    optional={"count": st.integers(1, 6), "role": st.sampled_from(["ungrounded", "equipment-grounding"])},
)
devices = st.fixed_dictionaries(
    {"largest": st.sampled_from(SIZES)}, optional={"gangs": st.integers(1, 3), "count": st.integers(1, 3)}
)
blocks = st.fixed_dictionaries({"largest": st.sampled_from(SIZES)}, optional={"count": st.integers(1, 3)})
boxes = st.sampled_from(sorted(standard_boxes())).map(lambda name: {"name": name}) | st.integers(1, 6000).map(
    lambda hundredths: {"volume": {"value": hundredths / 100, "unit": "in3"}}
)
volumes = st.fixed_dictionaries(
    {
        "value": st.integers(1, 2000).map(lambda hundredths: hundredths / 100),
        "unit": st.sampled_from(["in3", "cm3"]),
    }
)
requests = st.fixed_dictionaries(
    {"wires": st.lists(wires | canopy_wires, min_size=1, max_size=6)},
    optional={
        "code": st.sampled_from(["nfpa70-2017", "nfpa70-2020", "nfpa70-2023"]),
        "box": boxes,
        "extensions": st.lists(st.fixed_dictionaries({"volume": volumes}), max_size=2),
        "clamps": st.sampled_from(["internal", "none"]),
        "fittings": st.integers(0, 2),
        "devices": st.lists(devices, max_size=3),
        "terminal_blocks": st.lists(blocks, max_size=2),
    },
)
