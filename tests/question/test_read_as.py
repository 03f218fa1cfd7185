"""What has one meaning is taken for it and told; a slip, a bare number or a word of two meanings never is."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright import check_splice, choose, fill_box, plan_job
from splicewright.answering import shipped_chooser
from splicewright.json_text import read_json
from splicewright.nearest_word import Spoken, Synonyms
from splicewright.question import vocabulary as v
from splicewright.question.leaf import schema_of
from splicewright.question.model import Conductor
from splicewright.question.read import load_taking, read_question
from splicewright.question.read_as import written
from splicewright.question.schema import CircuitSchema, PlaceSchema, WorkSchema
from splicewright.refusals import Refused
from splicewright.strict_fields import Word, Words
from splicewright.strict_schema import Strict
from tests.question.asking import questions

PARTS: dict[str, type[Strict]] = {
    "conductor": schema_of(Conductor),
    "place": PlaceSchema,
    "circuit": CircuitSchema,
    "work": WorkSchema,
}


def asked(part: str, leaf: str, value: Any) -> dict[str, Any]:
    """Two 12 AWG ends, with one leaf."""
    conductor = {"size": "12 AWG", "count": 2} | ({leaf: value} if part == "conductor" else {})
    return {"joint": {"conductors": [conductor]}} | ({part: {leaf: value}} if part != "conductor" else {})


def pointer(part: str, leaf: str) -> str:
    return f"/joint/conductors/0/{leaf}" if part == "conductor" else f"/{part}/{leaf}"


def leaves() -> Iterator[tuple[str, str, Any, bool]]:
    """Each leaf with a closed list of words; whether it holds a list."""
    for part, schema in PARTS.items():
        for leaf, field in schema().fields.items():
            if isinstance(field, Word | Words):
                yield part, leaf, field.words, isinstance(field, Words)


SYNONYMS = [
    (part, leaf, said, meaning, listed)
    for part, leaf, words, listed in leaves()
    if isinstance(words, Spoken)
    for said, meaning in words.said.items()
    if meaning in words
]


@pytest.mark.parametrize(("part", "leaf", "said", "meaning", "listed"), SYNONYMS)
def test_word_of_one_meaning_is_taken_for_it_and_told(
    part: str, leaf: str, said: str, meaning: str, listed: bool
) -> None:
    question = asked(part, leaf, said)
    sent = copy.deepcopy(question)
    if meaning == "aluminum-branch":  # of which the metal must be said
        question["joint"]["conductors"][0]["material"] = "aluminum"
        sent = copy.deepcopy(question)
    plain = asked(part, leaf, meaning)
    plain["joint"]["conductors"][0] |= {
        key: one for key, one in question["joint"]["conductors"][0].items() if key != leaf
    }
    found = read_question(question)
    assert question == sent
    assert found.question == read_question(plain).question
    taken = [meaning] if listed else meaning
    assert [one.to_dict() for one in found.read_as] == [{"pointer": pointer(part, leaf), "sent": said, "taken": taken}]


@given(questions)
def test_question_in_its_own_words_is_read_as_nothing_else(question: Any) -> None:
    assert read_question(question).read_as == ()


@pytest.mark.slow
@pytest.mark.parametrize(("part", "leaf", "words", "listed"), list(leaves()))
@given(data=st.data())
def test_only_a_word_or_what_is_said_for_it_is_taken(
    data: st.DataObject, part: str, leaf: str, words: Any, listed: bool
) -> None:
    said = list(words.said) if isinstance(words, Spoken) else []
    known = data.draw(st.sampled_from([*words, *said]))
    at = data.draw(st.integers(0, len(known)))
    slip = data.draw(st.sampled_from(["", "x", "e", "-", " ", "un", "in"]))
    text = known[:at] + slip + known[at + data.draw(st.integers(0, 1)) :]
    try:
        found = read_question(asked(part, leaf, text))
    except Refused:
        return
    parts = [written(one) for one in text.split("/")] if listed else [written(text)]
    allowed = {written(word) for word in words} | set(said)
    assert set(parts) <= allowed
    assert text in words or [one.sent for one in found.read_as] == [text]


@pytest.mark.parametrize(
    ("sent", "taken"),
    [
        ("#12", "12 AWG"),
        ("12ga", "12 AWG"),
        ("12 gauge", "12 AWG"),
        ("12awg", "12 AWG"),
        ("AWG 12", "12 AWG"),
        ("No. 12", "12 AWG"),
        ("250 MCM", "250 kcmil"),
        ("250mcm", "250 kcmil"),
        ("4/0", "4/0 AWG"),
        ("0000 AWG", "4/0 AWG"),
        ("2.5mm²", "2.5 mm2"),
        ("2.5 sq mm", "2.5 mm2"),
    ],
)
def test_size_as_people_write_it_is_taken(sent: str, taken: str) -> None:
    found = read_question(asked("conductor", "size", sent))
    assert found.question.joint.conductors[0].size.text == taken
    assert [(one.sent, one.taken) for one in found.read_as] == [(sent, taken)]


@pytest.mark.parametrize(
    "sent", ["12", "250", "2.5", "12/2", "12/2 NM", "#41", "5/0", "12 AWG solid", "# 12 mm2 AWG", ""]
)
def test_size_of_no_or_of_several_meanings_is_refused(sent: str) -> None:
    with pytest.raises(Refused):
        read_question(asked("conductor", "size", sent))


@pytest.mark.parametrize(
    ("part", "leaf", "sent", "taken"),
    [
        ("place", "ambient", "120F", {"value": 120, "unit": "degF"}),
        ("place", "ambient", "86 degF", {"value": 86, "unit": "degF"}),
        ("place", "ambient", "30 °C", {"value": 30, "unit": "degC"}),
        ("place", "ambient", "-10 degC", {"value": -10, "unit": "degC"}),
        ("place", "depth", "12 in", {"value": 12, "unit": "in"}),
        ("place", "depth", "1/2 in", {"value": 0.5, "unit": "in"}),
        ("place", "depth", "1 1/2 in", {"value": 1.5, "unit": "in"}),
        ("place", "depth", '18"', {"value": 18, "unit": "in"}),
        ("place", "depth", "2 ft", {"value": 24, "unit": "in"}),
        ("place", "depth", "450mm", {"value": 450, "unit": "mm"}),
        ("circuit", "volts", "120 V", 120),
        ("circuit", "amps", "16A", 16),
        ("circuit", "overcurrent_amps", "20 amps", 20),
        ("place", "dwelling", "yes", True),
        ("circuit", "gfci", "No", False),
        ("conductor", "insulation", "THHN/THWN-2", ["THHN", "THWN-2"]),
        ("conductor", "insulation", "thhn", ["THHN"]),
        ("place", "corrosion", "marine", ["salt-air"]),
        ("place", "enclosure", "J-box", "box"),
        ("conductor", "role", "EGC", "equipment-grounding"),
        ("conductor", "material", "AL", "aluminum"),
        ("conductor", "material", "Cu", "copper"),
        ("conductor", "cable", "SO", "cord"),
        ("place", "wiring", "PVC", "pvc-raceway"),
        ("place", "exposure", "Wet ", "wet"),
        ("place", "cover", "Under Building", "under-building"),
    ],
)
def test_quantity_or_word_as_people_write_it_is_taken(part: str, leaf: str, sent: str, taken: Any) -> None:
    found = read_question(asked(part, leaf, sent))
    assert [one.to_dict() for one in found.read_as] == [{"pointer": pointer(part, leaf), "sent": sent, "taken": taken}]
    assert found.question == read_question(asked(part, leaf, taken)).question


@pytest.mark.parametrize(
    ("part", "leaf", "sent"),
    [
        ("place", "ambient", "30"),
        ("place", "ambient", "30 in"),
        ("place", "ambient", "900 degC"),
        ("place", "depth", "12"),
        ("place", "depth", "1/0 in"),
        ("place", "depth", "12 inches or so"),
        ("circuit", "volts", "120"),
        ("circuit", "volts", "20 A"),
        ("circuit", "amps", "120 V"),
        ("circuit", "amps", "-5 A"),
        ("place", "dwelling", "true"),
        ("place", "dwelling", "maybe"),
        ("conductor", "insulation", "THHN/?"),
        ("conductor", "insulation", "THWN3"),
        ("conductor", "count", "2"),
    ],
)
def test_what_has_no_unit_or_no_single_meaning_is_refused(part: str, leaf: str, sent: str) -> None:
    with pytest.raises(Refused):
        read_question(asked(part, leaf, sent))


def test_fraction_that_is_finer_than_it_is_read_to_goes_to_the_safe_side_and_is_told() -> None:
    (taken,) = read_question(asked("place", "depth", "5/16 in")).read_as
    assert (taken.pointer, taken.sent, taken.taken) == ("/place/depth", "5/16 in", {"value": 0.3, "unit": "in"})


@pytest.mark.parametrize(
    ("part", "leaf", "sent", "says"),
    [
        ("circuit", "volts", "120/240 V", "is not a number; it is several numbers; write 240 V for a circuit of two"),
        ("circuit", "volts", "20 A", "is not a number; it is in A; a number of V is asked"),
        ("place", "depth", "18/24 in", "; it is several numbers; write 18 in or 24 in"),
        ("place", "depth", "24 AWG", "; it is in AWG; a number of in or mm is asked"),
    ],
)
def test_what_is_wrong_with_an_amount_is_told(part: str, leaf: str, sent: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_question(asked(part, leaf, sent))
    (problem,) = refused.value.problems
    assert problem.pointer == pointer(part, leaf)
    assert says in problem.says


def test_what_else_is_wrong_is_told_and_what_was_taken_is_not() -> None:
    question = asked("conductor", "role", "hot") | {"place": {"exposure": "porch", "reach": "hidden"}, "circut": {}}
    with pytest.raises(Refused) as refused:
        read_question(question)
    assert [problem.pointer for problem in refused.value.problems] == ["/circut", "/place/exposure"]


def test_synonym_of_one_code_is_taken_under_it_only() -> None:
    spoken = Spoken(lambda: Synonyms({"gaol": "dry"}, {"gaol": frozenset({"nfpa70-2017"})}), {"dry": "", "wet": ""})

    class Schema(Strict):
        exposure = Word(spoken)
        code = Word(v.CODES)

    assert load_taking(Schema(), {"exposure": "gaol", "code": "nfpa70-2017"}, "nfpa70-2023")[0]["exposure"] == "dry"
    with pytest.raises(Refused):
        load_taking(Schema(), {"exposure": "gaol"}, "nfpa70-2023")


QUESTION = asked("conductor", "role", "hot") | {"place": {"ambient": "86F"}}
TAKEN = [("/joint/conductors/0/role", "hot"), ("/place/ambient", "86F")]
PLAIN = asked("conductor", "role", "ungrounded") | {"place": {"ambient": {"value": 86, "unit": "degF"}}}


def sent_at(answer: Any) -> list[tuple[str, str]]:
    return [(one["pointer"], one["sent"]) for one in answer["read_as"]]


def test_answer_tells_what_was_taken_outside_its_address() -> None:
    answer, plain = choose(QUESTION), choose(PLAIN)
    assert sent_at(answer) == TAKEN
    assert "read_as" not in plain
    assert {key: answer[key] for key in answer if key not in ("read_as", "assumed")} == {
        key: plain[key] for key in plain if key != "assumed"
    }


def test_answer_from_the_cache_tells_it_each_time() -> None:
    raw = b'{"joint":{"conductors":[{"size":"#12","count":2}]}}'
    answers = [shipped_chooser().answer_json(raw) for _ in range(3)]
    assert len(set(answers)) == 1
    assert sent_at(read_json(answers[0])) == [("/joint/conductors/0/size", "#12")]


def test_check_box_and_job_tell_what_was_taken() -> None:
    checked = check_splice({**QUESTION, "proposal": {"method": "Twist on", "strip": "1/2 in", "torque": "20 in-lb"}})
    assert sent_at(checked) == [
        *TAKEN,
        ("/proposal/method", "Twist on"),
        ("/proposal/strip", "1/2 in"),
        ("/proposal/torque", "20 in-lb"),
    ]
    box = fill_box({"wires": [{"size": "#12", "count": 3}], "box": {"volume": "20 in3"}, "joints": [QUESTION]})
    assert sent_at(box) == [("/wires/0/size", "#12"), ("/box/volume", "20 in3")]
    assert sent_at(box["joints"][0]) == [("/joints/0" + at, sent) for at, sent in TAKEN]
    job = plan_job(
        {
            "defaults": {"place": {"exposure": "Damp"}},
            "joints": [QUESTION],
            "boxes": [{"wires": [{"size": "#12", "count": 3}], "joints": [QUESTION]}],
        }
    )
    assert sent_at(job) == [("/defaults/place/exposure", "Damp")]
    assert [sent_at(joint) for joint in job["joints"]] == [
        [("/joints/0" + at, sent) for at, sent in TAKEN],
        [("/boxes/0/joints/0" + at, sent) for at, sent in TAKEN],
    ]
    assert [sent_at(one) for one in job["boxes"]] == [[("/boxes/0/wires/0/size", "#12")]]
    assert job["problems"] == []


def test_a_word_may_belong_into_a_list_within_a_list() -> None:
    with pytest.raises(Refused) as caught:
        fill_box({"code": "ends", "wires": [{"size": "12 AWG"}]})
    (problem,) = caught.value.problems
    assert problem.says.endswith('"ends" is a word of /wires/0/path and /joints/0/joint/conductors/0/path')
