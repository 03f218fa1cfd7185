from __future__ import annotations

import pytest
from hypothesis import given

from splicewright.question import measures
from splicewright.question.facts import facts_of
from splicewright.question.read import read_question
from splicewright.units import size, whole
from tests.question.asking import question, questions

BURIED = {"exposure": "buried"}


def joint(name, *conductors, **parts):
    return facts_of(question(*conductors, **parts)).single.get(name)


def conductor(name, given, **parts):
    (facts,) = facts_of(question({"size": "12 AWG", **given}, **parts)).conductors
    return facts.get(name)


# --- counts ----------------------------------------------------------------------------


def test_conductors_are_counted_over_all_entries():
    assert joint("joint.count", {"size": "12 AWG", "count": 3}, {"size": "14 AWG", "count": 2}) == 5


def test_only_conductors_that_pass_through_uncut_are_counted_as_through():
    given = [{"size": "12 AWG", "count": 2, "path": "through"}, {"size": "14 AWG"}]
    assert joint("joint.through", *given) == 2
    assert joint("joint.through") == 0


@pytest.mark.parametrize(
    ("conductors", "circuits"),
    [
        ([{"circuit": "A"}, {"circuit": "A"}], 1),
        ([{"circuit": "A"}, {"circuit": "B"}], 2),
        ([{"circuit": "A"}, {"circuit": "B", "role": "grounded"}], 2),
        ([{"circuit": "A"}, {"circuit": "B", "role": "equipment-grounding"}], 1),
        ([{"circuit": "A"}, {"circuit": "B", "role": "isolated-grounding"}], 1),
        ([{"circuit": "A"}, {"circuit": "B", "role": "grounding-electrode"}], 1),
        ([{"circuit": "A", "role": "equipment-grounding"}, {"circuit": "B", "insulation": "bare"}], 0),
    ],
)
def test_conductors_for_grounding_belong_to_no_circuit(conductors, circuits):
    assert joint("joint.circuits", *({"size": "12 AWG", **one} for one in conductors)) == circuits


def test_metals_are_counted_once_each():
    given = [
        {"size": s, "material": m} for s, m in (("12 AWG", "copper"), ("10 AWG", "copper"), ("10 AWG", "aluminum"))
    ]
    assert joint("joint.metals", *given) == 2
    assert joint("joint.materials", *given) == ("aluminum", "copper")
    assert joint("joint.only_material", *given) == "mixed"
    assert joint("joint.only_material") == "copper"


@pytest.mark.parametrize(
    ("sizes", "steps"),
    [(["12 AWG", "12 AWG"], 0), (["14 AWG", "12 AWG"], 2), (["18 AWG", "12 AWG", "1/0 AWG"], 18)],
)
def test_gauge_steps_lie_between_the_smallest_and_the_largest(sizes, steps):
    given = [{"size": one} for one in sizes]
    assert joint("joint.gauge_steps", *given) == steps
    assert joint("joint.smallest", *given) == size(sizes[0]).area
    assert joint("joint.largest", *given) == size(sizes[-1]).area


def test_roles_construction_and_cable_are_told_where_all_share_them():
    same = [{"size": "12 AWG", "role": "grounded", "construction": "stranded", "cable": "NM", "count": 2}]
    other = [*same, {"size": "12 AWG", "role": "control", "construction": "solid", "cable": "UF"}]
    assert joint("joint.only_role", *same) == "grounded"
    assert joint("joint.only_construction", *same) == "stranded"
    assert joint("joint.only_cable", *same) == "NM"
    assert joint("joint.roles", *other) == ("control", "grounded")
    for name in ("joint.only_role", "joint.only_construction", "joint.only_cable"):
        assert joint(name, *other) == "mixed"


# --- what was stated -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("place.depth_stated", {"place": {"depth": {"value": 18, "unit": "in"}}}),
        ("circuit.load_stated", {"circuit": {"amps": 12}}),
        ("circuit.overcurrent_stated", {"circuit": {"overcurrent_amps": 20}}),
    ],
)
def test_a_number_is_stated_where_it_was_given_and_only_there(name, parts):
    assert joint(name, **parts) is True
    assert joint(name) is False


def test_volts_are_stated_where_given_or_assumed():
    assert joint("circuit.volts_stated") is True
    assert joint("circuit.volts_stated", circuit={"kind": "irrigation"}) is False
    assert joint("circuit.volts_stated", circuit={"kind": "irrigation", "volts": 24}) is True


# --- cover -----------------------------------------------------------------------------


def cover(depth=None, unit="in", circuit=None, **place):
    at = {**BURIED, **place, **({"depth": {"value": depth, "unit": unit}} if depth is not None else {})}
    return facts_of(question(place=at, circuit=circuit or {})).single


def test_the_required_cover_is_known_without_a_depth_but_not_judged():
    facts = cover()
    assert facts["place.required_cover"] == whole(24, "in")
    assert "place.cover_shortfall" not in facts
    assert facts["place.cover_judged"] is False


@pytest.mark.parametrize(
    ("depth", "unit", "shortfall"),
    [
        (24, "in", 0),
        (23.9, "in", 2_540),
        (30, "in", -152_400),
        (600, "mm", 0),
        (599.9, "mm", 100),
        (0, "mm", 600_000),
    ],
)
def test_the_shortfall_is_measured_against_the_tables_own_figure_for_the_unit_given(depth, unit, shortfall):
    facts = cover(depth, unit)
    assert facts["place.cover_shortfall"] == shortfall
    assert facts["place.cover_judged"] is True


GFCI = {"gfci": True}


@pytest.mark.parametrize(
    ("depth", "shortfall"),
    [
        (5.9, whole(24 - 5.9, "in")),  # short by any column
        (6, None),  # enough at 30 V and less, short above
        (12, None),
        (23.9, None),
        (24, 0),  # enough by any column
        (30, whole(-6, "in")),
    ],
)
def test_cover_that_turns_on_volts_that_were_not_stated_is_not_judged(depth, shortfall):
    facts = cover(depth, circuit={"kind": "low-voltage-landscape"})
    assert facts.get("place.cover_shortfall") == shortfall
    assert facts["place.cover_judged"] is (shortfall is not None)


@pytest.mark.parametrize(("amps", "shortfall"), [(20, 0), (20.1, whole(12, "in")), (None, None)])
def test_cover_that_turns_on_an_overcurrent_device_that_was_not_stated_is_not_judged(amps, shortfall):
    stated = {} if amps is None else {"overcurrent_amps": amps}
    facts = cover(12, dwelling=True, circuit={**GFCI, **stated})
    assert facts.get("place.cover_shortfall") == shortfall


def test_a_number_not_stated_matters_not_where_the_rest_rules_the_lighter_column_out():
    assert cover(12, dwelling=False, circuit=GFCI)["place.cover_shortfall"] == whole(12, "in")
    assert cover(12, dwelling=True, circuit={**GFCI, "volts": 240})["place.cover_shortfall"] == whole(12, "in")


# --- insulation ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "stated", "wet", "burial"),
    [
        ({}, False, "not-stated", "not-stated"),
        ({"insulation": "THHN"}, True, "not-rated", "not-rated"),
        ({"insulation": "THWN"}, True, "rated", "not-rated"),
        ({"insulation": ["THHN", "THWN"]}, True, "rated", "not-rated"),
        ({"insulation": "UF"}, True, "rated", "rated"),
        ({"insulation": "bare"}, True, "rated", "rated"),
        ({"cable": "UF"}, True, "rated", "rated"),
        ({"cable": "NM"}, True, "not-rated", "not-rated"),
        ({"cable": "NM", "insulation": "THWN"}, True, "rated", "not-rated"),
        ({"cable": "MC"}, False, "not-stated", "not-stated"),
        ({"cable": "cord"}, False, "not-stated", "not-stated"),
    ],
)
def test_insulation_not_stated_never_passes_as_rated(given, stated, wet, burial):
    assert conductor("conductor.insulation_stated", given) is stated
    assert conductor("conductor.wet_rating", given) == wet
    assert conductor("conductor.burial_rating", given) == burial


@pytest.mark.parametrize(
    ("given", "exposure", "degrees"),
    [
        ({"insulation": "THHN"}, "dry", 90),
        ({"insulation": "THHN"}, "damp", 90),
        ({"insulation": "THHN"}, "wet", None),
        ({"insulation": "THHW"}, "dry", 90),
        ({"insulation": "THHW"}, "wet", 75),
        ({"insulation": "THHW"}, "buried", 75),
        ({"insulation": "THHW"}, "submerged", 75),
        ({"insulation": ["THHN", "THWN"]}, "dry", 90),
        ({"insulation": ["THHN", "THWN"]}, "wet", 75),
        ({"insulation": "bare"}, "dry", None),
        ({"cable": "NM"}, "dry", 90),
        ({"cable": "UF"}, "buried", 60),
        ({}, "dry", None),
    ],
)
def test_insulation_is_good_for_the_degrees_of_its_better_mark_in_this_place(given, exposure, degrees):
    place = {"exposure": exposure, "ambient": {"value": 30, "unit": "degC"}}
    found = conductor("conductor.degrees", given, place=place)
    margin = conductor("conductor.heat_margin", given, place=place)
    assert found == (None if degrees is None else whole(degrees, "degC"))
    assert margin == (None if degrees is None else whole(degrees - 30, "degC"))


@pytest.mark.parametrize(
    ("ambient", "margin"),
    [((90, "degC"), 0), ((90.1, "degC"), -9), ((194, "degF"), 0), ((194.1, "degF"), -5)],
)
def test_the_heat_margin_turns_negative_one_tenth_above_the_rating(ambient, margin):
    place = {"ambient": dict(zip(("value", "unit"), ambient, strict=True))}
    assert conductor("conductor.heat_margin", {"insulation": "THHN"}, place=place) == margin


@pytest.mark.parametrize(
    ("given", "circuit", "margin"),
    [
        ({"insulation": "THHN"}, {"volts": 600}, 0),
        ({"insulation": "THHN"}, {"volts": 600.1}, -1),
        ({"insulation": "THHN"}, {}, whole(480, "V")),
        ({"insulation": "THHN"}, {"kind": "class-2"}, None),
        ({"insulation": "bare"}, {"volts": 120}, None),
        ({}, {"volts": 120}, None),
    ],
)
def test_the_volts_margin_has_a_value_only_where_both_volts_are_known(given, circuit, margin):
    assert conductor("conductor.volts_margin", given, circuit=circuit) == margin


@pytest.mark.parametrize(
    ("given", "made"),
    [
        ({"size": "14 AWG", "insulation": "THHN"}, True),
        ({"size": "15 AWG", "insulation": "THHN"}, False),
        ({"size": "15 AWG", "insulation": ["THHN", "MTW"]}, True),
        ({"size": "18 AWG", "insulation": ["THHN", "THWN"]}, False),
        ({"size": "250 kcmil", "insulation": "UF"}, False),
        ({"size": "250 kcmil", "cable": "UF"}, True),  # of a cable nothing is known
        ({"size": "40 AWG"}, True),
        ({"size": "40 AWG", "insulation": "bare"}, True),
    ],
)
def test_wire_is_made_where_one_of_its_marks_is_made_in_its_size(given, made):
    assert conductor("conductor.made", given) is made


# --- all -------------------------------------------------------------------------------


def test_measures_are_named_once_each_and_say_in_one_line_what_they_tell():
    every = [*measures.JOINT, *measures.CONDUCTOR]
    names = [one.name for one in every]
    assert len(set(names)) == len(names)
    assert [one.name for one in every if "\n" in one.about or not one.about.endswith(".")] == []


@given(questions)
def test_every_measure_of_words_gives_only_its_own_words(value):
    found = read_question(value).question
    for measure in measures.JOINT:
        if measure.words:
            words = measure.value(found)
            assert {words} <= set(measure.words) if isinstance(words, str) else set(words) <= set(measure.words)
    for measure in measures.CONDUCTOR:
        if measure.words:
            assert {measure.value(found, one) for one in found.joint.conductors} <= set(measure.words)
