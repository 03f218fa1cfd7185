"""What holds of every box: against a plain reckoning and the published tables, in any order, and as wires are added."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from splicewright import Refused, fill_box
from splicewright.box.schema import BoxFillSchema, BoxSchema, WireSchema
from splicewright.refusals import Problem
from tests.box.requests import requests, wires
from tests.external.published import published

VOLUMES = {size: Fraction(str(in3)) for size, in3 in published("boxes")["per_conductor"]["in3"].items()}
BOXES = {name: Fraction(str(row["in3"])) for name, row in published("boxes")["boxes"]["rows"].items()}
BY_GANGS = {name for name in BOXES if "masonry" in name or name.startswith(("FS ", "FD "))}
TIMES = {"ends": 1, "through": 1, "looped": 2, "stays": 0}


def of(wire):
    return wire.get("path", "ends"), wire.get("role", "ungrounded"), wire.get("count", 1), VOLUMES[wire["size"]]


def reckoned(request):
    """Reckon the required volume anew, wire by wire. Source: NFPA 70, 314.16(B) of each edition."""
    edition = int(request.get("code", "nfpa70-2023")[-4:])
    needed, fixture, sets = Fraction(0), [], {False: [], True: []}
    for wire in request["wires"]:
        path, role, count, volume = of(wire)
        if role.endswith("-grounding"):
            apart = role == "isolated-grounding" and edition < 2020
            sets[apart] += [volume] * count if path != "stays" and "canopy" not in wire else []
        elif "canopy" in wire and volume < VOLUMES["14 AWG"]:
            fixture += [volume] * count
        else:
            needed += TIMES[path] * count * volume
    needed += sum(sorted(fixture)[: max(0, len(fixture) - 4)])
    for one in sets.values():
        if one:
            further = max(0, len(one) - 4) if edition >= 2020 else 0
            needed += max(one) * (1 + Fraction(further, 4))
    largest = max(VOLUMES[wire["size"]] for wire in request["wires"])
    needed += largest * ((request.get("clamps") == "internal") + request.get("fittings", 0))
    needed += sum(
        2 * device.get("gangs", 1) * device.get("count", 1) * VOLUMES[device["largest"]]
        for device in request.get("devices", ())
    )
    if edition >= 2023:
        needed += sum(block.get("count", 1) * VOLUMES[block["largest"]] for block in request.get("terminal_blocks", ()))
    return needed


def marked(section):
    if "name" in section:
        return BOXES[section["name"]]
    value = Fraction(str(section["volume"]["value"]))
    return value if section["volume"]["unit"] == "in3" else value / Fraction(254, 100) ** 3


@given(requests)
def test_the_required_volume_is_that_of_a_plain_reckoning(request):
    assert Fraction(str(fill_box(request)["required"]["in3"])) == reckoned(request)


@given(requests)
def test_a_box_fits_exactly_where_a_plain_reckoning_is_not_above_its_volume(request):
    answer = fill_box(request)
    if "box" not in request:
        assert answer["fits"] is None
    else:
        volume = marked(request["box"]) + sum(marked(extension) for extension in request.get("extensions", ()))
        assert answer["fits"] is (reckoned(request) <= volume)


@given(requests)
def test_the_smallest_boxes_are_all_those_of_the_table_that_hold_it_least_first(request):
    added = sum(marked(extension) for extension in request.get("extensions", ()))
    gangs = max(1, sum(device.get("gangs", 1) * device.get("count", 1) for device in request.get("devices", ())))
    volumes = {name: in3 * (gangs if name in BY_GANGS else 1) for name, in3 in BOXES.items()}
    holding = {name for name, in3 in volumes.items() if in3 + added >= reckoned(request)}
    found = [one["name"] for one in fill_box(request)["smallest"]]
    assert len(found) == len(holding)
    assert set(found) == holding
    assert [volumes[name] for name in found] == sorted(volumes[name] for name in found)


@given(requests, wires)
def test_one_wire_more_never_asks_for_less(request, wire):
    more = {**request, "wires": [*request["wires"], wire]}
    less, now = fill_box(request), fill_box(more)
    assert now["required"]["in3"] >= less["required"]["in3"]
    assert not (now["fits"] and less["fits"] is False)
    assert {one["name"] for one in now["smallest"]} <= {one["name"] for one in less["smallest"]}


@given(requests, st.randoms(use_true_random=False))
def test_the_order_of_what_is_in_the_box_does_not_matter(request, shuffle):
    other = dict(request)
    for key in ("wires", "devices", "terminal_blocks"):
        if key in request:
            other[key] = shuffle.sample(request[key], len(request[key]))
    pointed = ("problems", "assumed")
    one, two = (
        {key: value for key, value in fill_box(each).items() if key not in pointed} for each in (request, other)
    )
    assert one == two


words = st.sampled_from(["ends", "internal", "4 x 1-1/2 square", "12 AWG", "in3", "nfpa70-2020", "joint", "box", ""])
anything = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | words | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from([*WireSchema().fields, *BoxSchema().fields, "unit", "value", "joint"]), inner)
    ),
    max_leaves=12,
)


@given(requests, st.dictionaries(st.sampled_from(list(BoxFillSchema().fields)), anything, max_size=3))
def test_whatever_is_sent_is_answered_or_refused_with_pointers(request, parts):
    problems = []
    try:
        answer = fill_box({**request, **parts})
    except Refused as refused:
        problems += refused.problems
    else:
        problems += [Problem.from_dict(problem) for problem in answer["problems"]]
        problems += [Problem.from_dict(error) for joint in answer["joints"] for error in joint.get("errors", ())]
    assert all(problem.says and problem.pointer.startswith("/") for problem in problems)


@given(requests)
def test_the_allowances_add_up_to_what_is_required(request):
    answer = fill_box(request)
    added = sum(Fraction(str(allowance["total"]["in3"])) for allowance in answer["allowances"])
    assert added == Fraction(str(answer["required"]["in3"]))
