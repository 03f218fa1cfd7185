"""Effects that speak of proposed splices are read strictly, and their examples hold proposals."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.refusals import Problem, Refused
from splicewright.rulebook.effects import OF_PROPOSALS, read_effect
from splicewright.rulebook.examples import example_proposal, failing_examples, failing_proposals
from splicewright.rulebook.model import Effect, ListingTest, Rule, RuleSource, Within

CODE = "nfpa70-2023"


def read(**effect: Any) -> tuple[Effect | None, list[str]]:
    problems: list[Problem] = []
    found = read_effect({"when": "always", **effect}, "", problems)
    return found, [f"{problem.pointer}: {problem.says}" for problem in problems]


@pytest.mark.parametrize(
    ("effect", "wanted"),
    [
        ({"defect": {"sign": "stray-strands"}}, Effect("defect", sign="stray-strands")),
        ({"defect": {"said": "strip"}}, Effect("defect", said=("strip", None))),
        (
            {"defect": {"said": {"reused": True}, "unless": {"reusable": True}, "methods": ["lever"]}},
            Effect(
                "defect",
                said=("reused", True),
                tests=(ListingTest("reusable", "any-of", (True,)),),
                methods=("lever",),
            ),
        ),
        ({"ask": {"for": "connector"}}, Effect("ask", asks="connector")),
        (
            {"tolerance": {"of": "strip", "within": "1.5 mm"}},
            Effect("tolerance", asks="strip", within=Within(1.5, "mm")),
        ),
        (
            {"tolerance": {"of": "torque", "within": "10 percent"}},
            Effect("tolerance", asks="torque", within=Within(10, "percent")),
        ),
    ],
)
def test_effects_are_read(effect: dict[str, Any], wanted: Effect) -> None:
    assert read(**effect) == (wanted, [])


@pytest.mark.parametrize(
    ("effect", "says"),
    [
        ({"defect": "stray-strands"}, "/defect: must be a map with some of: sign, said, methods, unless"),
        ({"defect": {}}, "/defect: is written with one of: sign, said"),
        ({"defect": {"sign": "stray-strands", "said": "strip"}}, "/defect: is written with one of: sign, said"),
        ({"defect": {"sign": "stray-strand"}}, '/defect/sign: "stray-strand" is not known; did you mean'),
        ({"defect": {"sign": ["stray-strands"]}}, "/defect/sign"),
        ({"defect": {"said": {"strip": True}}}, "/defect/said/strip: is a figure; write the word alone"),
        ({"defect": {"said": {"tugged": "no"}}}, "/defect/said/tugged: is written true or false"),
        ({"defect": {"said": "tuged"}}, "did you mean 'tugged'?"),
        ({"defect": {"said": ["strip"]}}, "/defect/said: is a word, or {word: true}"),
        ({"defect": {"said": "strip", "methods": ["levr"]}}, "did you mean 'lever'?"),
        ({"defect": {"said": "strip", "methods": [["lever"]]}}, "/defect/methods"),
        ({"defect": {"said": "strip", "methods": []}}, "/defect/methods: names no method"),
        ({"defect": {"said": "strip", "unles": {}}}, "/defect/unles: \"unles\" is not known; did you mean 'unless'?"),
        (
            {"defect": {"said": "strip", "unless": {"volts": {"at-least": {"fact": "circuit.volts"}}}}},
            "/defect/unless: compares a listing with words or figures of its own, not with the question",
        ),
        ({"ask": {"for": "tug"}}, "/ask/for: \"tug\" is not known; did you mean 'tugged'?"),
        ({"ask": True}, "/ask: must be a map"),
        ({"tolerance": {"of": "tugged", "within": "1 mm"}}, "/tolerance/of"),
        ({"tolerance": {"of": "strip", "within": "1 N-m"}}, "is a number, a space and one of: mm, in, percent"),
        ({"tolerance": {"of": "strip"}}, "/tolerance/within: is a number"),
        ({"step": {"phase": "strip", "do": "x", "proves": "striped"}}, "is not known; did you mean 'stripped'?"),
        ({"step": {"phase": "strip", "do": "x", "proves": ["stripped"]}}, "/step/proves"),
        ({"step": {"phase": "strip", "do": "x", "unless": {"insulated": True}}}, "/step/unless: excuses from proving"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_where_it_stands(effect: dict[str, Any], says: str) -> None:
    _, problems = read(**effect)
    assert any(says in problem for problem in problems), problems


def rule(**parts: Any) -> Rule:
    effect = Effect("defect", sign="stray-strands")
    return Rule("inspection/one", None, None, (), effect, "So.", RuleSource(None), **parts)


def test_an_example_of_a_rule_on_proposals_holds_a_proposal() -> None:
    (fault,) = failing_proposals([rule(fires=({},))], CODE, lambda _asked, _proposal: {"inspection/one"})
    assert "/proposal: is required" in fault.says


def test_an_example_names_no_connector() -> None:
    with pytest.raises(Refused, match="rules name no connector"):
        example_proposal({"proposal": {"connector": "lever-2-port"}})


def test_an_example_of_another_rule_holds_none() -> None:
    (fault,) = failing_examples([rule(fires=({"proposal": {"method": "lever"}},))], CODE, lambda _asked: set())
    assert "is only for rules that speak of proposed splices" in fault.says


def test_an_example_that_is_not_spoken_of_as_it_says_is_a_fault() -> None:
    plain = {"proposal": {"method": "lever"}}
    faults = failing_proposals([rule(fires=(plain,), silent=(plain,))], CODE, lambda _asked, _proposal: set())
    assert [fault.says for fault in faults] == ["examples/fires/0: the rule is silent on it"]


def test_three_kinds_speak_of_proposals() -> None:
    assert OF_PROPOSALS == ("defect", "ask", "tolerance")
