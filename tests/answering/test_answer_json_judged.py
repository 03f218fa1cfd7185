"""An answer tells of each concern whether it was judged, and points at what is lacking in the question as sent."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import orjson
import pytest
from hypothesis import given, settings

from splicewright import check_splice
from splicewright.answering import Chooser, choose, shipped_chooser
from splicewright.rulebook import load_rulebook
from tests.as_sent import apart_from_as_sent
from tests.oracle.questions import givens

Plain = dict[str, Any]
STATED: Plain = {"volts": 120, "amps": 12, "overcurrent_amps": 20, "continuous": False}
THHN: Plain = {"size": "12 AWG", "insulation": "THHN"}
UNCACHED = Chooser(cache_bytes=0)


def asked(*conductors: Plain, circuit: Plain | None = None, **parts: Any) -> Plain:
    """Give a question: these conductors (two 12 AWG of type THHN if none), on a circuit of which all is stated."""
    given_ = list(conductors) or [{**THHN, "count": 2}]
    return {"joint": {"conductors": given_}, "circuit": STATED if circuit is None else circuit, **parts}


def judged(question: Plain) -> dict[str, Plain]:
    return {one["concern"]: one for one in choose(question)["judged"]}


@pytest.fixture
def chooser() -> Chooser:
    made = Chooser()
    made.use(UNCACHED.holding)  # the same compiled rules, an empty cache of its own
    return made


# --- judged, not stated, no rule -------------------------------------------------------


def test_concern_of_which_all_is_stated_is_judged() -> None:
    assert judged(asked())["overcurrent"] == {"concern": "overcurrent", "article": "240.4"}


@pytest.mark.parametrize(
    ("concern", "lacking", "asks"),
    [
        ("overcurrent", "overcurrent_amps", "/circuit/overcurrent_amps"),
        ("continuous-load", "continuous", "/circuit/continuous"),
        ("ampacity", "amps", "/circuit/amps"),
    ],
)
def test_concern_that_lacks_a_word_asks_for_it(concern: str, lacking: str, asks: str) -> None:
    assert "why" not in judged(asked())[concern]
    circuit = {key: value for key, value in STATED.items() if key != lacking}
    found = judged(asked(circuit=circuit))[concern]
    assert {key: found[key] for key in ("why", "asks")} == {"why": "not-stated", "asks": asks}
    assert list(found) == ["concern", "why", "asks", "article"]


def test_flag_that_was_given_as_no_is_known_and_a_measure_that_is_no_is_not() -> None:
    assert "why" not in judged(asked(circuit={**STATED, "continuous": False}))["continuous-load"]
    buried: Plain = {
        "circuit": {"kind": "low-voltage-landscape", "continuous": False},
        "place": {"exposure": "buried", "depth": {"value": 12, "unit": "in"}},
    }
    assert judged(asked(**buried))["burial-cover"]["asks"] == "/circuit/volts"  # place.cover_judged is no


def test_concern_that_no_rule_settles_says_so_with_the_article_of_the_edition() -> None:
    motor = asked(circuit={**STATED, "serves": "motor", "current": "dc"})
    assert judged({**motor, "code": "nfpa70-2023"})["overcurrent"] == {
        "concern": "overcurrent",
        "why": "no-rule",
        "article": "430.52(C)(1)",
    }
    assert judged({**motor, "code": "nfpa70-2017"})["overcurrent"]["article"] == "430.52"


def test_what_is_not_stated_is_asked_for_before_it_is_said_that_no_rule_settles_the_rest() -> None:
    tap = [{**THHN, "size": "10 AWG", "path": "through"}, {**THHN, "role": "grounded"}]
    joint = {"joint": {"conductors": tap, "purpose": "tap"}}
    lacking = {key: value for key, value in STATED.items() if key != "overcurrent_amps"}
    assert judged({**joint, "circuit": lacking})["overcurrent"]["why"] == "not-stated"
    assert judged({**joint, "circuit": {**STATED, "overcurrent_amps": 30}})["overcurrent"]["why"] == "no-rule"


def test_articles_of_several_cases_without_a_rule_stand_once_each() -> None:
    circuit = {"kind": "communications", "volts": 24}
    cord = {"size": "8 AWG", "cable": "cord", "role": "control"}
    found = judged(asked({**cord, "count": 2}, circuit=circuit))["overcurrent"]
    assert found["article"] == "Chapter 9 Table 11; 400.5, 240.5"


def test_concern_that_does_not_arise_is_left_out() -> None:
    assert "movement" not in judged(asked())
    assert "why" not in judged(asked(place={"movement": "vibrating"}))["movement"]


def test_concerns_stand_in_the_order_of_their_file() -> None:
    order = [concern.id for concern in load_rulebook("nfpa70-2023").concerns]
    for question in (asked(), asked(circuit={}), asked(place={"exposure": "buried", "movement": "vibrating"})):
        told = list(judged(question))
        assert len(told) > 5
        assert told == [one for one in order if one in told]


@pytest.mark.parametrize(
    ("question", "outcome"),
    [
        (asked(), "options"),
        (asked({"size": "4/0 AWG", "insulation": "THHN", "count": 12}, circuit={"kind": "feeder"}), "no-connector"),
        (asked(place={"enclosure": "raceway"}), "barred"),
        (asked(circuit={"kind": "service"}), "refer"),
    ],
)
def test_what_is_asked_of_a_connector_is_left_out_where_none_is_looked_for(question: Plain, outcome: str) -> None:
    assert choose(question)["outcome"] == outcome
    told = judged(question)
    assert ("fill" in told) is (outcome in ("options", "no-connector"))
    assert "box-room" in told or outcome == "barred"


@pytest.mark.parametrize("circuit", [{}, STATED, {**STATED, "serves": "motor"}])
def test_brief_answer_tells_only_what_was_not_judged_and_no_article(circuit: Plain) -> None:
    question = asked({**THHN}, {"size": "12 AWG"}, circuit=circuit)
    whole = choose(question)["judged"]
    unjudged = [{key: told for key, told in one.items() if key != "article"} for one in whole if "why" in one]
    assert 0 < len(unjudged) < len(whole)
    assert choose({**question, "explain": "brief"})["judged"] == unjudged
    assert choose({**question, "include": ["judged"]})["judged"] == whole


@pytest.mark.parametrize("parts", [{"place": {"enclosure": "raceway"}}, {"circuit": {"kind": "service"}}])
def test_brief_answer_to_a_joint_that_is_not_to_be_made_leaves_out_what_was_not_judged(parts: Plain) -> None:
    question = asked({"size": "12 AWG", "count": 2}, **{"circuit": {}, **parts})
    assert any("why" in one for one in choose(question)["judged"])
    assert choose({**question, "explain": "brief"})["judged"] == []


def test_check_of_a_splice_tells_what_the_question_without_it_does() -> None:
    question = asked({**THHN}, {"size": "14 AWG"}, circuit={})
    checked = check_splice({**question, "proposal": {"method": "lever"}})
    assert checked["judged"] == choose(question)["judged"]


# --- pointers --------------------------------------------------------------------------

SENT = [{"size": "14 AWG", "insulation": "THHN"}, {"size": "12 AWG"}, {"size": "8 AWG", "insulation": "THHN"}]


@pytest.mark.parametrize("order", list(itertools.permutations(range(3))))
def test_pointer_leads_to_the_conductor_that_lacks_it_in_any_order(order: tuple[int, ...]) -> None:
    found = judged(asked(*(SENT[at] for at in order)))["ampacity"]
    assert found["asks"] == f"/joint/conductors/{order.index(1)}/insulation"


@pytest.mark.parametrize("order", list(itertools.permutations(range(3))))
def test_of_several_that_lack_it_the_largest_is_pointed_at_in_any_order(order: tuple[int, ...]) -> None:
    sent = [{"size": "14 AWG"}, {"size": "12 AWG", "insulation": "THHN"}, {"size": "8 AWG"}]
    found = judged(asked(*(sent[at] for at in order)))["ampacity"]
    assert found["asks"] == f"/joint/conductors/{order.index(2)}/insulation"


@pytest.mark.parametrize(
    ("sent", "at"),
    [
        ([THHN, {"size": "12 AWG"}, {"size": "12 AWG"}], 1),
        ([{"size": "12 AWG"}, THHN, {"size": "12 AWG", "count": 2}], 0),
        ([THHN, THHN, {"size": "12 AWG", "count": 3}], 2),
        ([THHN, {"size": "12 AWG", "material": "copper"}, {"size": "12 AWG"}], 1),
    ],
)
def test_of_like_conductors_that_are_merged_the_first_is_pointed_at(sent: list[Plain], at: int) -> None:
    assert judged(asked(*sent))["ampacity"]["asks"] == f"/joint/conductors/{at}/insulation"


def pointed(question: Plain) -> list[tuple[Any, ...]]:
    """Give what is judged, with the conductors pointed at in place of the pointers."""
    conductors = question["joint"]["conductors"]
    found = []
    for one in choose(question)["judged"]:
        asks = one.get("asks", "")
        parts = asks.split("/")
        told = (conductors[int(parts[3])], parts[4]) if asks.startswith("/joint/conductors/") else asks
        found.append((one["concern"], one.get("why"), one["article"], told))
    return found


@pytest.mark.parametrize("order", list(itertools.permutations(range(3))))
def test_answer_is_the_same_in_any_order_of_conductors_but_for_its_pointers(order: tuple[int, ...]) -> None:
    base, shuffled = asked(*SENT, circuit={}), asked(*(SENT[at] for at in order), circuit={})
    assert pointed(shuffled) == pointed(base)
    answers = [choose(one) for one in (base, shuffled)]
    first, other = map(apart_from_as_sent, answers)
    assert orjson.dumps(first) == orjson.dumps(other)


# --- kept answers ----------------------------------------------------------------------


def raw(order: tuple[int, ...], **parts: Any) -> bytes:
    return orjson.dumps(asked(*(SENT[at] for at in order), **parts))


def test_answer_found_by_its_question_points_into_the_question_that_was_sent(chooser: Chooser) -> None:
    for order in itertools.permutations(range(3)):
        assert chooser.answer_json(raw(order)) == UNCACHED.answer_json(raw(order))
    assert (chooser.cache.misses, chooser.cache.hits_by_question) == (1, 5)


def test_answer_found_by_its_bytes_points_into_the_question_that_was_sent(chooser: Chooser) -> None:
    first, other = raw((0, 1, 2)), raw((1, 2, 0))
    for sent in (first, other, first, other):
        assert chooser.answer_json(sent) == UNCACHED.answer_json(sent)
    assert (chooser.cache.misses, chooser.cache.hits_by_question, chooser.cache.hits_by_bytes) == (1, 1, 2)


def test_answer_kept_from_one_that_states_a_default_asks_the_same(chooser: Chooser) -> None:
    plain = orjson.loads(chooser.answer_json(raw((0, 1, 2))))
    stated = orjson.loads(chooser.answer_json(raw((0, 1, 2), place={"exposure": "dry"})))
    assert chooser.cache.hits_by_question == 1
    assert plain["judged"] == stated["judged"]


@pytest.mark.slow
def test_python_and_json_tell_the_same(chooser: Chooser) -> None:
    question = asked(*SENT, circuit={})
    told = orjson.loads(chooser.answer_json(orjson.dumps(question)))["judged"]
    assert chooser.choose(question)["judged"] == told


# --- any question ----------------------------------------------------------------------

SOME_VALUE: Plain = {
    "overcurrent_amps": 20, "amps": 12, "volts": 120, "continuous": False, "insulation": "THHN",
    "depth": {"value": 24, "unit": "in"}, "wiring_age": "other-existing",
    "room": True, "current_carrying": 3, "nameplate_amps": 20, "overcurrent_device": "inverse-time-breaker",
}  # fmt: skip


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(givens())
def test_what_is_asked_for_was_not_given_and_once_given_is_asked_for_no_more(question: Plain) -> None:
    for one in shipped_chooser().choose(question)["judged"]:
        assert ("asks" in one) is (one.get("why") == "not-stated")
        if "asks" in one:
            more = copy.deepcopy(question)
            at: Any = more
            *parts, leaf = one["asks"].strip("/").split("/")
            for part in parts:
                at = at[int(part)] if isinstance(at, list) else at.setdefault(part, {})
            assert leaf not in at
            at[leaf] = SOME_VALUE[leaf]
            after = {other["concern"]: other for other in shipped_chooser().choose(more)["judged"]}
            assert after.get(one["concern"], {}).get("asks") != one["asks"]
