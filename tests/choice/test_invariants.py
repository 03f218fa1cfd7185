"""What must hold for every answer holds for generated questions, and a breach of it is noticed."""

from __future__ import annotations

import copy
import random
from collections import Counter
from typing import Any

import pytest

from splicewright.question.read import read_question
from tests.choice import invariants
from tests.choice.case import Case
from tests.choice.each_option import options
from tests.choice.invariants import Asking, asked_again, main, shuffled, violations
from tests.choice.likely import likely_given
from tests.choice.whole_answer import filled

ASKING = Asking(0)
TWELVE = {"size": "12 AWG", "insulation": "USE-2"}
PLAIN: dict[str, Any] = {"joint": {"conductors": [{**TWELVE, "count": 2}]}, "limit": 100}


def case(**parts: Any) -> Case:
    """Ask about two 12 AWG ends, or other `conductors`, in the place, circuit and work given."""
    given = copy.deepcopy(PLAIN)
    conductors = parts.pop("conductors", None)
    if conductors:
        given["joint"]["conductors"] = conductors
    return ASKING.case({**given, **parts})


def broken(whole: Case, **parts: Any) -> Counter[str]:
    """Change parts of an answer and count the violations by the check that finds them."""
    other = Case(whole.given, {**copy.deepcopy(whole.answer), **parts}, whole.rules, whole.connectors)
    return Counter(says.partition(":")[0] for says in violations(other))


def offering(whole: Case, connector: str) -> list[str]:
    """Offer a connector that was refused, and give what is found."""
    answer = copy.deepcopy(whole.answer)
    (refused,) = [refusal for refusal in answer["refusals"] if refusal["connector"] == connector]
    answer["refusals"].remove(refused)
    made = {"meets": [], "preferred": [], "make_up": [{"phase": "make-safe", "do": "", "rule": ""}]}
    option = {"connector": connector, "method": refused["method"], "rank": 1, "fill": {"basis": "listed"}, **made}
    answer["options"] = [option]
    return list(options(Case(whole.given, answer, whole.rules, whole.connectors)))


# --- generated questions ---------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 5))
def test_every_answer_keeps_to_its_question_and_the_listings(seed: int) -> None:
    outcomes: Counter[str] = Counter()
    for asked, found in Asking(seed).cases(375):
        assert found == [], asked.given
        outcomes[asked.answer["outcome"]] += 1
    assert set(outcomes) == {"options", "no-connector", "barred", "refer"}
    assert outcomes["options"] > 375 // 5


def test_generated_questions_are_valid_and_those_of_one_seed_the_same() -> None:
    first, second = random.Random(3), random.Random(3)
    for _ in range(200):
        given = likely_given(first)
        assert read_question(given)
        assert likely_given(second) == given


def test_a_question_in_another_order_has_as_many_conductors() -> None:
    rng = random.Random(4)
    for _ in range(50):
        given = likely_given(rng)
        other = shuffled(given, rng)
        assert read_question(other).question == read_question(given).question


def test_the_command_prints_what_it_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--questions", "40", "--seed", "2"]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("40 questions: ")
    assert "; no violations; " in printed


def test_the_command_fails_and_shows_the_first_violation(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(invariants, "CHECKS", (lambda _: iter(["never so"]),))
    monkeypatch.setattr(invariants, "violations", lambda _: ["options: never so"])
    assert main(["--questions", "3"]) == 1
    printed = capsys.readouterr().out
    assert printed.count("never so") == 1
    assert '"conductors"' in printed
    assert "; 3 of options violations; " in printed


# --- a breach is noticed ---------------------------------------------------------------


def test_an_untouched_answer_breaks_nothing() -> None:
    assert broken(case()) == {}


@pytest.mark.parametrize(
    ("connector", "parts", "says"),
    [
        ("twist-on-medium", {"place": {"exposure": "wet"}}, "not listed for a place that is"),
        ("twist-on-sealed-medium", {"place": {"exposure": "buried"}}, "not listed for a place that is"),
        (
            "direct-burial-tube-small",
            {"place": {"exposure": "submerged"}, "circuit": {"serves": "pump"}},
            "not listed for a place that is",
        ),
        ("twist-on-high-temperature", {"place": {"site": "outdoors"}}, "not listed for a place that is"),
        ("twist-on-medium", {"place": {"enclosure": "handhole"}}, "not listed for a place that is"),
        (
            "compression-sleeve-8",
            {"place": {"exposure": "buried"}, "conductors": [{"size": "8 AWG", "insulation": "USE-2", "count": 2}]},
            "not sealed",
        ),
        (
            "twist-on-medium",
            {"circuit": {"volts": 1000}, "conductors": [{"size": "12 AWG", "count": 2}]},
            "volts of 6000 tenths for 1000 V",
        ),
        ("cable-splice-device-splice", {"circuit": {"volts": 480}}, "volts of 3000 tenths for 480 V"),
        (
            "split-bolt-spacer-medium",
            {"circuit": {"amps": 70}, "conductors": [{"size": "6 AWG", "insulation": "THHN", "count": 2}]},
            "degrees of 6750 ninetieths for 8100",
        ),
        (
            "solder-joint-small",
            {"place": {"ambient": {"value": 80, "unit": "degC"}}},
            "degrees of 6750 ninetieths for 7200",
        ),
        (
            "lever-2-port",
            {"conductors": [{**TWELVE, "material": "aluminum", "count": 2}]},
            "not listed for ['aluminum']",
        ),
        (
            "set-screw-block-sealed",
            {"conductors": [{"size": "6 AWG"}, {"size": "6 AWG", "material": "aluminum"}]},
            "unlike metals touch",
        ),
        (
            "solder-joint-small",
            {"conductors": [{"size": "14 AWG", "count": 2, "role": "equipment-grounding"}]},
            "grounding: no for",
        ),
        (
            "solder-joint-small",
            {"conductors": [{"size": "14 AWG", "count": 2, "role": "equipment-grounding"}]},
            "grounding relies on solder",
        ),
        (
            "split-bolt-small",
            {"conductors": [{"size": "8 AWG", "count": 2, "role": "grounding-electrode"}]},
            "joined by what may be opened",
        ),
        (
            "twist-on-aluminum-copper",
            {
                "conductors": [{**TWELVE, "material": "copper"}, {**TWELVE, "material": "aluminum"}],
                "work": {"wiring_age": "aluminum-branch"},
            },
            "no permanent repair",
        ),
        ("ground-crimp-small", {}, "grounding: only for ['ungrounded']"),
        (
            "push-in-2-port",
            {"conductors": [{**TWELVE, "construction": "fine-stranded", "count": 2}]},
            "takes no 2 conductors of",
        ),
        ("lever-2-port", {"conductors": [{**TWELVE, "count": 3}]}, "takes no 3 conductors of"),
        ("lever-2-port", {"conductors": [{"size": "10 AWG", "count": 2}]}, "takes no 2 conductors of"),
        ("twist-on-small", {"conductors": [{**TWELVE, "count": 2}]}, "takes no 2 conductors of"),
        (
            "lever-2-port",
            {"conductors": [{**TWELVE, "path": "through"}, TWELVE]},
            "takes no conductor that is not cut",
        ),
        ("twist-on-large", {"conductors": [TWELVE]}, "closes off no free end"),
    ],
)
def test_offering_a_connector_that_lacks_what_the_joint_asks_is_noticed(
    connector: str, parts: dict[str, Any], says: str
) -> None:
    assert any(says in found for found in offering(case(**parts), connector))


def test_a_doubtful_joint_between_two_listed_ones_is_noticed() -> None:
    whole = case(conductors=[{"size": "12 AWG", "count": 2, "insulation": "bare"}])
    assert whole.answer["options"]
    whole.answer["options"][0]["fill"]["basis"] = "bracketed"
    assert any("doubtful" in says for says in violations(whole))


@pytest.mark.parametrize(
    "conductors",
    [
        [TWELVE, {**TWELVE, "role": "grounded"}],
        [TWELVE, {**TWELVE, "role": "equipment-grounding"}],
        [{**TWELVE, "role": "grounded"}, {**TWELVE, "role": "grounding-electrode"}],
        [{**TWELVE, "role": "equipment-grounding"}, {**TWELVE, "role": "isolated-grounding"}],
        [TWELVE, {**TWELVE, "circuit": "B"}],
        [TWELVE, {**TWELVE, "condition": "burnt"}],
        [{**TWELVE, "role": "control"}, {**TWELVE, "role": "grounded"}],
        [{**TWELVE, "role": "control"}, {**TWELVE, "role": "equipment-grounding"}],
        [{**TWELVE, "role": "isolated-grounding"}, {**TWELVE, "role": "grounding-electrode"}],
    ],
)
def test_a_short_circuit_or_an_unsound_end_that_is_not_barred_is_noticed(conductors: list[dict[str, Any]]) -> None:
    whole = case(conductors=conductors)
    assert whole.answer["outcome"] == "barred"
    assert violations(whole) == []
    sound = case()
    answer = {**sound.answer, "assumed": whole.answer["assumed"]}
    found = violations(Case(whole.given, answer, whole.rules, whole.connectors))
    assert any(says.startswith("short_circuits: ") for says in found)


def test_an_outcome_that_does_not_follow_is_noticed() -> None:
    assert broken(case(), outcome="no-connector")["outcome"] == 1
    assert broken(case(), referrals=case(place={"hazardous": True}).answer["referrals"])["outcome"] == 2
    assert broken(case(), remedies=[{"patch": []}])["outcome"] == 1


def test_a_connector_untold_or_refused_without_reason_is_noticed() -> None:
    whole = case()
    assert broken(whole, refusals=whole.answer["refusals"][1:])["everything_told"] == 1
    silent = [{**refusal, "because": []} for refusal in whole.answer["refusals"]]
    assert broken(whole, refusals=silent)["everything_told"] == len(silent)
    assert broken(whole, options=whole.answer["options"][::-1])["everything_told"] == 1
    assert broken(whole, options=[{**option, "method": "solder"} for option in whole.answer["options"]])[
        "everything_told"
    ]


@pytest.mark.parametrize("words", ["The circuit has {circuit.volts}.", "The circuit has None.", "Something else."])
def test_a_sentence_that_is_not_its_rules_is_noticed(words: str) -> None:
    whole = case()
    changed = [{**caution, "says": words} for caution in whole.answer["cautions"]]
    assert broken(whole, cautions=changed)["sentences"] >= len(changed)


@pytest.mark.parametrize(("part", "change"), [("make_up", {"do": "Else."}), ("meets", {"rule": "no/such-rule"})])
def test_a_step_in_other_words_or_a_rule_that_is_none_is_noticed(part: str, change: dict[str, str]) -> None:
    whole = case()
    changed = [{**option, part: [{**entry, **change} for entry in option[part]]} for option in whole.answer["options"]]
    assert broken(whole, options=changed)["sentences"] >= len(changed)


def test_a_place_filled_with_not_stated_is_noticed() -> None:
    (rule,) = [one for one in case().rules.values() if one.id == "ratings/insulation-volts"]
    words = filled(rule.says)
    says = "At {} the 12 AWG conductor's insulation is rated for less and may break down; use another type."
    assert words.fullmatch(says.format("480 V"))
    assert not words.fullmatch(says.format("not stated"))


def test_a_rule_without_a_source_or_not_told_or_unknown_is_noticed() -> None:
    whole = case()
    assert broken(whole, rules={})["sentences"] == 1
    for wrong in (
        {"kind": "published", "document": "", "section": "1", "obtained": "page"},
        {"kind": "published", "document": "D", "section": "", "obtained": ""},
    ):
        told = {rule_id: {"source": wrong} for rule_id in whole.answer["rules"]}
        assert broken(whole, rules=told)["sentences"] == len(told)


SIZE = {"value": "12", "unit": "AWG"}


def fact(name: str, value: Any, *pointers: str) -> dict[str, Any]:
    return {"fact": name, "value": value, **({"at": list(pointers)} if pointers else {})}


@pytest.mark.parametrize(
    ("rests_on", "says"),
    [
        ([], "rests on nothing"),
        ([fact("place.exposure", "wet", "/place/exposure")], "neither given nor assumed"),
        ([fact("circuit.amps", {"value": 16, "unit": "A"}, "/circuit/amps")], "neither given nor assumed"),
        ([fact("place.beauty", "great", "/place/beauty")], "neither given nor assumed"),
        ([fact("joint.count", 2)], "without conductor.count"),
        ([{"rule": "environment/soaked-is-wet"}], "which was not found"),
        ([fact("place.exposure", "dry", "/place/exposure")] * 2, "not each once"),
        ([fact("place.exposure", "dry", "/place/water")], "where nothing is"),
        ([fact("place.exposure", "dry", "/place/exposure")], "tells wrongly"),
        ([{**fact("conductor.size", SIZE, "/joint/conductors/0/size"), "assumed": True}], "tells wrongly"),
    ],
)
def test_a_finding_that_does_not_rest_on_facts_is_noticed(rests_on: list[dict[str, Any]], says: str) -> None:
    whole = case()
    demands = [{**demand, "from": rests_on} for demand in whole.answer["demands"]]
    other = Case(whole.given, {**whole.answer, "demands": demands}, whole.rules, whole.connectors)
    assert any(says in found for found in violations(other))


def test_findings_that_rest_on_each_other_are_noticed() -> None:
    whole = case(place={"exposure": "submerged"})
    ids = [finding["rule"] for finding in whole.answer["findings"]]
    assert len(ids) > 1
    findings = [{**finding, "from": [{"rule": ids[at - 1]}]} for at, finding in enumerate(whole.answer["findings"])]
    other = Case(whole.given, {**whole.answer, "findings": findings}, whole.rules, whole.connectors)
    assert any("rest on each other" in says for says in violations(other))


def test_a_usual_caution_left_out_is_noticed() -> None:
    assert broken(case(), cautions=[])["cautions"] == 1


@pytest.mark.parametrize("phases", [[], ["strip"], ["make-safe", "tug", "strip"]])
def test_a_make_up_that_does_not_begin_with_making_safe_or_is_out_of_order_is_noticed(phases: list[str]) -> None:
    whole = case()
    steps = [{"phase": phase, "do": "", "rule": ""} for phase in phases]
    changed = [{**option, "make_up": steps} for option in whole.answer["options"]]
    assert any(
        "make-up goes" in says
        for says in options(Case(whole.given, {**whole.answer, "options": changed}, whole.rules, whole.connectors))
    )


def test_an_answer_that_another_order_changes_is_noticed() -> None:
    whole = case()
    other = Case(
        whole.given,
        {**whole.answer, "counts": {**whole.answer["counts"], "options": 100}},
        whole.rules,
        whole.connectors,
    )
    assert any("in another order" in says for says in asked_again(ASKING.chooser, other, random.Random(0)))


def test_a_remedy_that_leads_nowhere_is_noticed() -> None:
    whole = case(place={"enclosure": "raceway"})
    assert list(asked_again(ASKING.chooser, whole, random.Random(0))) == []
    worse = [{**remedy, "question": whole.given} for remedy in whole.answer["remedies"]]
    other = Case(whole.given, {**whole.answer, "remedies": worse}, whole.rules, whole.connectors)
    assert any("does not lead to options" in says for says in asked_again(ASKING.chooser, other, random.Random(0)))
