"""What a question holds once read: what was given, and each default with its note in `assumed`."""

from __future__ import annotations

import pytest
from hypothesis import given

from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.question.facts import facts_of
from splicewright.question.read import DEFAULTS, read_question
from splicewright.refusals import Refused
from tests.question.asking import asked, question, questions, sent
from tests.question.leaves import another, every, pointer_of

#: The default of each leaf by the contract, under its pointer, for two 12 AWG conductors and nothing more.
PLAIN = {
    "/code": "nfpa70-2023",
    "/catalogue": "shop",
    "/explain": "full",
    "/limit": 3,
    "/joint/purpose": "splice",
    "/joint/conductors/0/material": "copper",
    "/joint/conductors/0/construction": "solid",
    "/joint/conductors/0/finish": "plain",
    "/joint/conductors/0/end": "plain",
    "/joint/conductors/0/condition": "sound",
    "/joint/conductors/0/circuit": "A",
    "/joint/conductors/0/cable": "none",
    "/joint/conductors/0/role": "ungrounded",
    "/joint/conductors/0/path": "ends",
    "/place/premises": "general",
    "/place/exposure": "dry",
    "/place/site": "indoors",
    "/place/enclosure": "box",
    "/place/box_material": "nonmetallic",
    "/place/reach": "accessible",
    "/place/movement": "still",
    "/place/corrosion": [],
    "/place/ambient": {"value": 30, "unit": "degC"},
    "/place/hazardous": False,
    "/place/cover": "general",
    "/place/wiring": "direct",
    "/place/dwelling": False,
    "/circuit/kind": "branch",
    "/circuit/serves": "general",
    "/circuit/volts": 120,
    "/circuit/current": "ac",
    "/circuit/multiwire": False,
    "/circuit/gfci": False,
    "/work/reopened": "rarely",
    "/work/temporary": False,
}
#: for each leaf that has a default, a value that is not the default; and one for each leaf that has none
OTHER = {
    "/code": "nfpa70-2017",
    "/catalogue": "van",
    "/explain": "brief",
    "/limit": 1,
    "/joint/purpose": "tap",
    "/joint/conductors/0/count": 3,
    "/joint/conductors/0/material": "aluminum",
    "/joint/conductors/0/construction": "stranded",
    "/joint/conductors/0/finish": "tinned",
    "/joint/conductors/0/end": "bonded",
    "/joint/conductors/0/condition": "burnt",
    "/joint/conductors/0/circuit": "B",
    "/joint/conductors/0/cable": "NM",
    "/joint/conductors/0/role": "control",
    "/joint/conductors/0/path": "through",
    "/place/premises": "marina",
    "/place/exposure": "damp",
    "/place/site": "outdoors",
    "/place/enclosure": "cabinet",
    "/place/box_material": "metal",
    "/place/reach": "concealed",
    "/place/movement": "vibrating",
    "/place/corrosion": ["chemical"],
    "/place/ambient": {"value": 40, "unit": "degC"},
    "/place/hazardous": True,
    "/place/cover": "airport-runway",
    "/place/wiring": "pvc-raceway",
    "/place/dwelling": True,
    "/circuit/kind": "feeder",
    "/circuit/serves": "pump",
    "/circuit/volts": 277,
    "/circuit/current": "dc",
    "/circuit/multiwire": True,
    "/circuit/gfci": True,
    "/circuit/amps": 12,
    "/circuit/overcurrent_amps": 20,
    "/circuit/continuous": False,
    "/work/reopened": "never",
    "/work/temporary": True,
    "/work/wiring_age": "other-existing",
}
#: A leaf that is declared and not yet named here: its default is the declared one.
for name, leaf in every().items():
    if not leaf.depends and not leaf.field.required and pointer_of(name) not in OTHER:
        OTHER[pointer_of(name)] = another(name)
        PLAIN |= {} if leaf.default is None else {pointer_of(name): leaf.default}


def with_leaf(pointer, value):
    whole = sent({"size": "12 AWG", "count": 2})
    at = whole
    *parts, leaf = pointer.strip("/").split("/")
    for part in parts:
        at = at[int(part)] if isinstance(at, list) else at.setdefault(part, {})
    at[leaf] = value
    return whole


# --- defaults --------------------------------------------------------------------------


def test_a_question_of_two_conductors_assumes_every_default_of_the_contract_and_no_more():
    assert asked().assumed == PLAIN


@pytest.mark.parametrize("pointer", PLAIN)
def test_each_default_is_what_the_question_holds(pointer):
    given = asked().question
    assert given == read_question(with_leaf(pointer, PLAIN[pointer])).question


@pytest.mark.parametrize("pointer", OTHER)
def test_a_leaf_that_was_given_is_kept_and_not_noted_as_assumed(pointer):
    found = read_question(with_leaf(pointer, OTHER[pointer]))
    assert pointer not in found.assumed
    assert {key: value for key, value in PLAIN.items() if key != pointer} == dict(found.assumed)
    if pointer not in ("/explain", "/limit"):
        assert found.question != asked().question


@pytest.mark.parametrize("pointer", PLAIN)
def test_a_leaf_given_as_its_default_is_not_noted_as_assumed(pointer):
    assert pointer not in read_question(with_leaf(pointer, PLAIN[pointer])).assumed


@pytest.mark.parametrize("part", ["place", "circuit", "work"])
def test_a_missing_part_and_an_empty_one_assume_the_same(part):
    whole = sent()
    assert read_question({**whole, part: {}}) == read_question(whole)


def test_a_conductor_without_a_count_counts_as_one():
    found = asked({"size": "12 AWG"}, {"size": "14 AWG"})
    assert found.assumed["/joint/conductors/0/count"] == 1
    assert [conductor.count for conductor in found.question.joint.conductors] == [1, 1]


def test_one_conductor_alone_is_capped_and_two_are_spliced():
    assert asked({"size": "12 AWG"}).assumed["/joint/purpose"] == "cap"
    assert asked({"size": "12 AWG"}).question.joint.purpose == "cap"
    assert question({"size": "12 AWG", "count": 2}).joint.purpose == "splice"
    assert question({"size": "12 AWG"}, {"size": "12 AWG"}).joint.purpose == "splice"


@pytest.mark.parametrize(
    ("size", "construction"),
    [
        ("14 AWG", "solid"),
        ("10 AWG", "solid"),
        ("8 AWG", "stranded"),
        ("1/0 AWG", "stranded"),
        ("250 kcmil", "stranded"),
        ("1.5 mm2", "solid"),
        ("6 mm2", "solid"),
        ("6.01 mm2", "stranded"),
        ("10 mm2", "stranded"),
    ],
)
def test_conductors_are_taken_as_solid_to_10_awg_or_6_mm2_and_stranded_above(size, construction):
    found = asked({"size": size, "count": 2})
    assert found.assumed["/joint/conductors/0/construction"] == construction
    assert found.question.joint.conductors[0].construction == construction


@pytest.mark.parametrize("size", ["18 AWG", "4/0 AWG", "2.5 mm2"])
def test_conductors_of_a_cord_are_taken_as_fine_stranded(size):
    found = asked({"size": size, "cable": "cord"})
    assert found.assumed["/joint/conductors/0/construction"] == "fine-stranded"


def test_a_bare_conductor_is_taken_as_equipment_grounding():
    found = asked({"size": "12 AWG", "insulation": "bare"}, {"size": "12 AWG", "insulation": "THHN"})
    assert found.assumed["/joint/conductors/0/role"] == "equipment-grounding"
    assert found.assumed["/joint/conductors/1/role"] == "ungrounded"


@pytest.mark.parametrize("exposure", v.EXPOSURE)
def test_no_enclosure_is_taken_in_the_ground_and_under_water_and_a_box_elsewhere(exposure):
    enclosure = "none" if exposure in ("buried", "submerged") else "box"
    found = asked(place={"exposure": exposure})
    assert found.assumed["/place/enclosure"] == enclosure
    assert found.question.place.enclosure == enclosure


@pytest.mark.parametrize("kind", v.KIND)
def test_120_volts_are_assumed_but_for_kinds_that_run_at_whatever_their_supply_gives(kind):
    found = asked(circuit={"kind": kind})
    if kind in ("low-voltage-landscape", "irrigation", "control", "class-2", "communications"):
        assert found.question.circuit.volts is None
        assert "/circuit/volts" not in found.assumed
    else:
        assert found.question.circuit.volts == 120
        assert found.assumed["/circuit/volts"] == 120


def test_what_has_no_default_is_left_unstated():
    found = asked().question
    assert found.place.depth is None
    assert found.circuit.amps is None
    assert found.circuit.overcurrent_amps is None
    assert found.circuit.continuous is None
    assert found.work.wiring_age is None
    assert found.joint.conductors[0].insulation is None


@pytest.mark.parametrize(("age", "stated"), [(None, False), *((age, True) for age in v.WIRING_AGE)])
def test_the_age_of_the_wiring_is_a_fact_only_where_it_was_stated(age, stated):
    aluminum = {"size": "12 AWG", "material": "aluminum", "count": 2}
    found = facts_of(question(aluminum, work={} if age is None else {"wiring_age": age})).single
    assert found.get("work.wiring_age") == age
    assert found["work.age_stated"] is stated


@pytest.mark.parametrize(("given", "fact"), [({}, None), ({"continuous": False}, False), ({"continuous": True}, True)])
def test_a_load_that_was_said_to_end_is_told_from_one_of_which_nothing_was_said(given, fact):
    assert facts_of(question(circuit=given)).single.get("circuit.continuous") is fact


@pytest.mark.parametrize("wiring", ["rigid-conduit", "emt", "pvc-raceway"])
def test_the_kinds_of_raceway_are_told_apart(wiring):
    assert facts_of(question(place={"wiring": wiring})).single["place.wiring"] == wiring


def test_a_raceway_of_metal_is_no_word_since_it_was_split_in_two():
    with pytest.raises(Refused) as caught:
        asked(place={"wiring": "metal-raceway"})
    assert [problem.pointer for problem in caught.value.problems] == ["/place/wiring"]


def test_the_conductors_are_kept_as_they_were_sent_beside_the_question():
    found = asked({"size": "14 AWG"}, {"size": "8 AWG"}, {"size": "14 AWG"})
    assert [(one.size.text, one.count) for one in found.entering] == [("14 AWG", 1), ("8 AWG", 1), ("14 AWG", 1)]
    assert [(conductor.size.text, conductor.count) for conductor in found.question.joint.conductors] == [
        ("8 AWG", 1),
        ("14 AWG", 2),
    ]


def test_the_way_a_question_came_in_decides_how_much_is_told():
    found = read_question(sent(), explain="brief")
    assert (found.include, found.assumed["/explain"]) == (set(), "brief")
    assert read_question(sent(), explain="full").include == set(INCLUDE)
    assert read_question(sent(), explain="brief", include=["rules"]).include == {"rules"}


def test_what_the_question_says_of_how_much_to_tell_goes_before_the_way_it_came_in():
    for said, told in (
        ({"explain": "full"}, set(INCLUDE)),
        ({"explain": "brief"}, set()),
        ({"explain": "brief", "include": ["rules", "meets"]}, {"rules", "meets"}),
        ({"explain": "full", "include": ["rules"]}, set(INCLUDE)),
        ({"include": ["rules"]}, {"rules"}),
        ({"include": []}, set()),
    ):
        for explain, include in (("full", ()), ("brief", ("fill",))):
            found = read_question(sent(**said), explain=explain, include=include)
            assert found.include == told
            assert "/explain" not in found.assumed


def test_nothing_is_narrowed_unless_the_question_says_so():
    for said in ({}, {"only": {}}, {"only": {"connectors": []}}, {"only": {"connectors": [], "methods": []}}):
        assert question(**said) == question()
    assert question(only={"methods": ["lever"]}) != question()


def test_the_order_of_what_is_narrowed_to_decides_nothing_nor_does_what_is_named_twice():
    first = question(only={"connectors": ["a", "b"], "methods": ["lever", "push-in"]})
    assert first == question(only={"connectors": ["b", "a", "b"], "methods": ["push-in", "lever"]})


def test_the_id_is_absent_where_none_was_given():
    assert asked().id is None
    assert "/id" not in asked().assumed


def test_assumptions_point_into_the_question_as_it_was_sent():
    found = asked({"size": "14 AWG", "count": 1}, {"size": "8 AWG", "count": 1})
    assert found.assumed["/joint/conductors/0/construction"] == "solid"
    assert found.assumed["/joint/conductors/1/construction"] == "stranded"
    assert [conductor.size.text for conductor in found.question.joint.conductors] == ["8 AWG", "14 AWG"]


def test_changing_what_was_assumed_in_one_answer_changes_no_other():
    first = asked()
    first.assumed["/place/corrosion"].append("chemical")
    first.assumed["/place/ambient"]["value"] = 99
    assert asked().assumed == PLAIN
    assert DEFAULTS["/place"]["corrosion"] == []


def test_reading_does_not_change_what_was_sent():
    whole = sent({"size": "12 AWG", "insulation": "THHN"}, place={"corrosion": ["salt-air", "chemical"]})
    before = repr(whole)
    read_question(whole)
    assert repr(whole) == before


@given(questions)
def test_every_leaf_is_given_or_assumed_and_never_both(value):
    found = read_question(value)
    for pointer in found.assumed:
        at = value
        for part in pointer.strip("/").split("/"):
            at = at[int(part)] if isinstance(at, list) else at.get(part, {})
        assert at == {}


# --- what was given --------------------------------------------------------------------


def test_a_dual_marked_insulation_is_the_same_in_either_order():
    assert question({"size": "12 AWG", "insulation": ["THWN", "THHN"]}) == question(
        {"size": "12 AWG", "insulation": ["THHN", "THWN"]}
    )


def test_one_insulation_type_and_a_list_of_it_are_the_same():
    assert question({"size": "12 AWG", "insulation": "THHN"}) == question({"size": "12 AWG", "insulation": ["THHN"]})


def test_the_order_of_corrosive_influences_does_not_matter():
    one = question(place={"corrosion": ["salt-air", "chemical"]})
    assert one == question(place={"corrosion": ["chemical", "salt-air"]})
    assert one.place.corrosion == ("chemical", "salt-air")


def test_depth_and_ambient_keep_the_unit_they_were_given_in():
    place = question(place={"depth": {"value": 600.0, "unit": "mm"}, "ambient": {"value": 86, "unit": "degF"}}).place
    assert (str(place.depth), str(place.ambient)) == ("600 mm", "86 degF")
