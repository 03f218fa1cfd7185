from __future__ import annotations

import functools
import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given

from splicewright.memo import Memo
from splicewright.question import measures
from splicewright.question import vocabulary as v
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.facts import facts_of, printed
from splicewright.question.read import read_question
from splicewright.question.schema import QuestionSchema
from splicewright.tables.conductors import insulation_types
from splicewright.units import size
from tests.oracle.questions import random_question
from tests.question.asking import question, questions

if TYPE_CHECKING:
    from splicewright.question.model import Conductor, Question

KINDS = {"word", "words", "flag", "count", "size", "length", "temperature", "volts", "amps"}


def test_every_fact_has_a_kind_a_rule_can_compare():
    assert {kind.kind for kind in fact_kinds().values()} <= KINDS


def test_only_facts_that_are_words_have_words():
    for kind in fact_kinds().values():
        assert bool(kind.words) is (kind.kind in ("word", "words") and not kind.open), kind.name


def test_every_measure_is_made_from_facts_that_exist():
    given_facts = set(fact_kinds()) | {"conductor.circuit"}
    for one in (*measures.JOINT, *measures.CONDUCTOR):
        assert set(one.reads) <= given_facts, one.name
        assert one.reads, one.name


def test_every_leaf_of_a_question_is_a_fact_but_for_its_label_and_how_to_answer():
    schema = QuestionSchema().fields
    leaves = {f"{part}.{leaf}" for part in ("place", "circuit", "work") for leaf in schema[part].schema.fields}
    leaves |= {f"conductor.{leaf}" for leaf in schema["joint"].schema.fields["conductors"].inner.schema.fields}
    assert leaves - set(fact_kinds()) == {"conductor.circuit"}
    assert "joint.purpose" in fact_kinds()


def test_the_words_of_a_fact_are_those_of_the_vocabulary():
    kinds = fact_kinds()
    assert kinds["place.exposure"].words == tuple(v.EXPOSURE)
    assert kinds["place.corrosion"].words == tuple(v.CORROSION)
    assert kinds["conductor.insulation"].words == tuple(insulation_types())
    assert kinds["conductor.wet_rating"].words == ("rated", "not-rated", "not-stated")


def test_given_facts_are_coded_in_whole_base_units():
    found = facts_of(
        question(
            {"size": "12 AWG", "count": 2, "insulation": ["THWN", "THHN"]},
            place={
                "ambient": {"value": 86, "unit": "degF"},
                "depth": {"value": 0.5, "unit": "in"},
                "corrosion": ["salt-air"],
            },
            circuit={"volts": 277.5, "amps": 16, "overcurrent_amps": 20},
        )
    )
    assert found.single["place.ambient"] == 2_700
    assert found.single["place.depth"] == 12_700
    assert found.single["place.corrosion"] == ("salt-air",)
    assert found.single["circuit.volts"] == 2_775
    assert found.single["circuit.amps"] == 160
    assert found.single["circuit.overcurrent_amps"] == 200
    (conductor,) = found.conductors
    assert conductor["conductor.size"] == size("12 AWG").area
    assert conductor["conductor.count"] == 2
    assert conductor["conductor.insulation"] == ("THHN", "THWN")


def test_what_was_not_stated_is_absent():
    found = facts_of(question(circuit={"kind": "control"}))
    absent = {
        "place.depth",
        "circuit.volts",
        "circuit.amps",
        "circuit.overcurrent_amps",
        "place.cover_shortfall",
    }
    assert absent & found.single.keys() == set()
    of_conductors = {
        "conductor.insulation",
        "conductor.degrees",
        "conductor.heat_margin",
        "conductor.volts_margin",
    }
    assert of_conductors & found.conductors[0].keys() == set()


def test_free_text_is_no_fact():
    found = facts_of(question({"size": "12 AWG", "circuit": "panel 3"}, id="kitchen", catalogue="van"))
    values = [*found.single.values(), *found.conductors[0].values()]
    assert {"panel 3", "kitchen", "van"} & {value for value in values if isinstance(value, str)} == set()


def test_each_distinct_conductor_has_facts_of_its_own_in_the_questions_order():
    found = facts_of(question({"size": "14 AWG"}, {"size": "10 AWG"}, {"size": "14 AWG"}))
    assert [(conductor["conductor.size"], conductor["conductor.count"]) for conductor in found.conductors] == [
        (size("10 AWG").area, 1),
        (size("14 AWG").area, 2),
    ]


@given(questions)
def test_every_fact_has_the_kind_it_is_declared_with(value):
    found = facts_of(read_question(value).question)
    kinds = fact_kinds()
    for facts in (found.single, *found.conductors):
        for name, fact in facts.items():
            match kinds[name].kind:
                case "flag":
                    assert type(fact) is bool, name
                case "word":
                    assert fact in kinds[name].words, name
                case "words":
                    assert kinds[name].open or set(fact) <= set(kinds[name].words), name
                case _:
                    assert type(fact) is int, name


@given(questions)
def test_single_facts_are_of_no_conductor_and_conductor_facts_of_nothing_else(value):
    found = facts_of(read_question(value).question)
    assert not [name for name in found.single if name.startswith("conductor.")]
    assert not [name for facts in found.conductors for name in facts if not name.startswith("conductor.")]


@given(questions)
def test_every_fact_can_be_printed(value):
    one = read_question(value).question
    found = facts_of(one)
    texts = [printed(one, name, fact) for name, fact in found.single.items()]
    for conductor, facts in zip(one.joint.conductors, found.conductors, strict=True):
        texts += [printed(one, name, fact, conductor) for name, fact in facts.items()]
    assert all(isinstance(text, str) for text in texts)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("place.exposure", "buried"),
        ("place.hazardous", "no"),
        ("place.dwelling", "yes"),
        ("place.corrosion", "chemical and salt-air"),
        ("place.ambient", "104 degF"),
        ("place.depth", "450 mm"),
        ("place.required_cover", "600 mm"),
        ("place.cover_shortfall", "150 mm"),
        ("circuit.volts", "277 V"),
        ("circuit.amps", "16.5 A"),
        ("circuit.overcurrent_amps", "20 A"),
        ("joint.count", "5"),
        ("joint.largest", "4 mm2"),
        ("joint.smallest", "14 AWG"),
        ("joint.roles", "control and grounded"),
    ],
)
def test_a_fact_is_printed_as_an_electrician_reads_it(name, text):
    one = question(
        {"size": "4.0 mm2", "count": 2, "role": "grounded"},
        {"size": "14 AWG", "count": 3, "role": "control"},
        place={
            "exposure": "buried",
            "dwelling": True,
            "corrosion": ["salt-air", "chemical"],
            "ambient": {"value": 104, "unit": "degF"},
            "depth": {"value": 450, "unit": "mm"},
        },
        circuit={"volts": 277, "amps": 16.5, "overcurrent_amps": 20},
    )
    assert printed(one, name, facts_of(one).single[name]) == text


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("conductor.size", "12 AWG"),
        ("conductor.count", "2"),
        ("conductor.insulation", "THHN and THWN"),
        ("conductor.degrees", "90 degC"),
        ("conductor.heat_margin", "59.5 degC"),
        ("conductor.insulation_volts", "600 V"),
        ("conductor.volts_margin", "480 V"),
        ("conductor.insulation_stated", "yes"),
        ("conductor.wet_rating", "rated"),
    ],
)
def test_a_conductors_fact_is_printed_as_an_electrician_reads_it(name, text):
    one = question(
        {"size": "12 AWG", "count": 2, "insulation": ["THHN", "THWN"]},
        place={"ambient": {"value": 30.5, "unit": "degC"}},
    )
    (facts,) = facts_of(one).conductors
    assert printed(one, name, facts[name], one.joint.conductors[0]) == text


def test_without_a_depth_the_required_cover_is_printed_in_inches():
    one = question(place={"exposure": "buried"})
    assert printed(one, "place.required_cover", facts_of(one).single["place.required_cover"]) == "24 in"


def test_a_size_is_printed_even_where_the_conductor_is_not_named():
    one = question({"size": "12 AWG"}, {"size": "2.50 mm2"})
    assert printed(one, "conductor.size", size("2.5 mm2").area) == "2.5 mm2"


# --- what decides a fact -----------------------------------------------------------------


def _elsewhere(name: str, one: Question, other: Question) -> Question:
    """Give a question with the leaves that decide a fact, and every other leaf of another question."""
    decided_by = fact_kinds()[name].decided_by
    parts = {}
    for part in ("place", "circuit", "work"):
        kept = {leaf.partition(".")[2] for leaf in decided_by if leaf.startswith(f"{part}.")}
        parts[part] = replace(getattr(other, part), **{leaf: getattr(getattr(one, part), leaf) for leaf in kept})
    return replace(one, joint=one.joint if "joint" in decided_by else other.joint, **parts)


def _other_conductor(name: str, conductor: Conductor, other: Conductor) -> Conductor:
    kept = {leaf.partition(".")[2] for leaf in fact_kinds()[name].decided_by if leaf.startswith("conductor.")}
    return replace(other, **{leaf: getattr(conductor, leaf) for leaf in kept})


@functools.cache
def _pairs() -> list[tuple[Question, Question]]:
    """Give pairs of questions under one code edition."""
    rng = random.Random(8)
    drawn = ((rng.choice(list(v.CODES)), random_question(rng), random_question(rng)) for _ in range(300))
    return [(replace(one, code=code), replace(other, code=code)) for code, one, other in drawn]


@pytest.mark.parametrize("measure", [*measures.JOINT, *measures.CONDUCTOR], ids=lambda one: one.name)
def test_a_measure_looks_at_no_leaf_but_those_that_decide_it(measure):
    for one, other in _pairs():
        mixed = _elsewhere(measure.name, one, other)
        told = (one,), (mixed,)
        if measure in measures.CONDUCTOR:
            first, second = one.joint.conductors[0], mixed.joint.conductors[0]
            told = (one, first), (mixed, _other_conductor(measure.name, first, second))
        values = [measure.value(*each) for each in told]
        assert values[0] == values[1], (one, mixed)
        if values[0] is not None:
            coded = getattr(values[0], "area", values[0])
            texts = [printed(each[0], measure.name, coded, *each[1:]) for each in told]
            assert texts[0] == texts[1], (one, mixed)


def in_print(facts):
    """Give the lines of the single facts, and of each conductor."""
    told = [
        (None, facts.single),
        *((at, {**one, "conductor.circuit": None}) for at, one in enumerate(facts.conductors)),
    ]
    return [
        {name: facts.conductor_lines[at][name] if at is not None else facts.lines[name] for name in each}
        for at, each in told
    ]


def test_remembered_facts_are_the_same_as_those_made_anew(monkeypatch):
    rng = random.Random(9)
    asked = [random_question(rng) for _ in range(40)]
    expected = [facts_of(one) for one in asked]
    monkeypatch.setattr(Memo, "most", property(lambda _memo: 7))  # so that all is forgotten again and again
    found = [facts_of(one) for one in (*asked, *asked)]
    assert found == [*expected, *expected]
    assert [in_print(one) for one in found] == [in_print(one) for one in (*expected, *expected)]


@given(questions)
def test_each_fact_is_in_print_as_it_is_printed_for_its_question(value):
    one = read_question(value).question
    found = facts_of(one)
    single, *each = in_print(found)
    assert single == {name: f"{name}: {printed(one, name, fact)}" for name, fact in found.single.items()}
    for conductor, told, lines in zip(one.joint.conductors, found.conductors, each, strict=True):
        expected = {name: f"{name}: {printed(one, name, fact, conductor)}" for name, fact in told.items()}
        assert lines == {**expected, "conductor.circuit": f"conductor.circuit: {conductor.circuit}"}
