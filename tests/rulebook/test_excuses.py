"""Words that a rule leaves out are excused one by one, each with why; what is about a word names it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.faults import Faults
from splicewright.question.fact_kinds import fact_kinds
from splicewright.refusals import Problem
from splicewright.rulebook import Rule, read_rulebook
from splicewright.rulebook.excuses import read_excuses, unexcused
from splicewright.rulebook.lint import lint
from splicewright.rulebook.model import Excuse

RULE = """\
ruleset: ratings
about: What loads ask.
through: 2023
rules:
  - id: {id}
    when: [{when}]
    {excuses}caution: true
    says: {says}
    source: common-practice
    examples:
      fires: [{{}}]
      silent: [{{circuit: {{serves: motor}}}}]
"""
OTHERS = [word for word in fact_kinds()["circuit.serves"].words if word not in ("motor", "pump")]
SERVES = f"circuit: {{serves: [{', '.join(OTHERS)}]}}"
MOTORS = "circuit: {serves: [motor, pump]}, because: 430.52 allows a larger device"


def read(folder: Path, when: str, excuses: str = "", rule_id: str = "one", says: str = "So it is.") -> Rule:
    (folder / "nfpa70").mkdir(exist_ok=True)
    key = f"excuses: [{{{excuses}}}]\n    " if excuses else ""
    text = RULE.format(when=f"{{{when}}}", excuses=key, id=rule_id, says=says)
    (folder / "nfpa70" / "ratings.yaml").write_text(text)
    (rule,) = read_rulebook(folder, "nfpa70-2023").rules
    return rule


def faults(folder: Path, when: str, excuses: str) -> list[str]:
    read(folder, when, excuses)
    return [one.says for one in lint(read_rulebook(folder, "nfpa70-2023"))]


def test_excuses_are_read_by_leaf(tmp_path: Path) -> None:
    assert read(tmp_path, SERVES, MOTORS).excuses == (
        Excuse("circuit.serves", ("motor", "pump"), "430.52 allows a larger device"),
    )


def test_excuses_of_words_that_are_left_out_are_no_fault(tmp_path: Path) -> None:
    assert faults(tmp_path, SERVES, MOTORS) == []


@pytest.mark.parametrize(
    ("when", "excuses", "says"),
    [
        (SERVES, MOTORS.replace("pump", "lighting"), "circuit.serves: lighting is not left out; the rule fires on it"),
        ("circuit: {kind: branch}", MOTORS, "circuit.serves: motor is not left out; the rule fires on it"),
        (SERVES, f"{MOTORS}}}, {{{MOTORS}", "circuit.serves: motor stands twice"),
    ],
)
def test_excuse_of_what_is_not_left_out_is_a_fault(tmp_path: Path, when: str, excuses: str, says: str) -> None:
    assert any(fault == f"excuses: {says}" for fault in faults(tmp_path, when, excuses))


def test_excuses_stand_after_when(tmp_path: Path) -> None:
    read(tmp_path, SERVES)
    path = tmp_path / "nfpa70" / "ratings.yaml"
    path.write_text(path.read_text().replace("caution: true\n", f"caution: true\n    excuses: [{{{MOTORS}}}]\n"))
    (found,) = lint(read_rulebook(tmp_path, "nfpa70-2023"))
    assert "write id, when, excuses, caution" in found.says


@pytest.mark.parametrize(
    ("excuses", "says"),
    [
        ({}, "must be a list, such as"),
        ([], "must be a list, such as"),
        ([{"circuit": {"serves": "motor"}}], "/0: says why under because"),
        ([{"circuit": {"serves": "motor"}, "because": " "}], "/0/because: says why under because"),
        ([{"circuit": {"serves": "motor"}, "because": "x" * 241}], "/0/because: says why under because"),
        (["motor"], "/0: says why under because"),
        ([{"because": "x"}], "/0/0: a pattern is a map with one key of"),
        ([{"circuit": {"serves": "moter"}, "because": "x"}], "did you mean 'motor'?"),
        ([{"circuit": {"server": "motor"}, "because": "x"}], "did you mean 'serves'?"),
        ([{"circuit": {"volts": 600}, "because": "x"}], "/0: circuit.volts: excuses words of a leaf of the question"),
        ([{"joint": {"roles": "control"}, "because": "x"}], "/0: joint.roles: excuses words of a leaf of the question"),
        ([{"condition": {"place": "wet"}, "because": "x"}], "/0: condition.place: excuses words of a leaf"),
        ([{"circuit": {"serves": {"other-than": "motor"}}, "because": "x"}], "/0: circuit.serves: excuses words"),
    ],
)
def test_what_is_no_excuse_is_told(excuses: Any, says: str) -> None:
    problems: list[Problem] = []
    assert read_excuses(excuses, "", problems) == ()
    assert [problem for problem in problems if says in f"{problem.pointer}: {problem.says}"], problems


def test_fault_of_an_excuse_is_told_with_its_line(tmp_path: Path) -> None:
    with pytest.raises(Faults, match=r"nfpa70/ratings.yaml:7: one: excuses/0/0/circuit/serves: .*'motor'"):
        read(tmp_path, SERVES, MOTORS.replace("motor", "moter"))


@pytest.mark.parametrize(
    ("when", "excuses", "leaf", "left"),
    [
        (SERVES, "", "circuit.serves", ("motor", "pump")),
        (SERVES, MOTORS.replace(", pump", ""), "circuit.serves", ("pump",)),
        (SERVES, MOTORS, "circuit.serves", ()),
        (SERVES, "", "circuit.kind", ()),
        ("circuit: {serves: {other-than: pump}}", "", "circuit.serves", ("pump",)),
        (
            "joint: {roles: [ungrounded, grounded]}",
            "conductor: {role: control}, because: x",
            "conductor.role",
            ("equipment-grounding", "isolated-grounding", "grounding-electrode", "bonding"),
        ),
    ],
)
def test_words_left_out_are_unexcused_until_each_is_excused(
    tmp_path: Path, when: str, excuses: str, leaf: str, left: tuple[str, ...]
) -> None:
    assert unexcused(read(tmp_path, when, excuses), leaf) == left


MOTOR_HEATING = "circuit: {serves: [motor, heating]}"
RACEWAYS = "place: {enclosure: [wireway, cable-tray]}"


@pytest.mark.parametrize(
    ("when", "rule_id", "says", "leaf"),
    [
        (MOTOR_HEATING, "motors-and-heating", "So it is.", "circuit.serves"),
        (MOTOR_HEATING, "one", "Heating warms a room, a motor turns.", "circuit.serves"),
        (MOTOR_HEATING, "heating", "It is turned by a motor.", "circuit.serves"),
        (MOTOR_HEATING, "one", "'What serves {circuit.serves} starts hard.'", "circuit.serves"),
        (RACEWAYS, "wireway-and-tray", "So it is.", "place.enclosure"),
        (
            "joint: {roles: [equipment-grounding, isolated-grounding, grounding-electrode]}",
            "grounding-by-solder",
            "So it is.",
            "conductor.role",
        ),
    ],
)
def test_rule_that_names_what_it_is_about_excuses_nothing(
    tmp_path: Path, when: str, rule_id: str, says: str, leaf: str
) -> None:
    assert unexcused(read(tmp_path, when, rule_id=rule_id, says=says), leaf) == ()


@pytest.mark.parametrize(
    ("when", "rule_id", "leaf"),
    [
        (MOTOR_HEATING, "motors", "circuit.serves"),
        (RACEWAYS, "wireway", "place.enclosure"),
        ("circuit: {serves: {other-than: pump}}", "general-motor-lighting-heating", "circuit.serves"),
        # A part that a word left out has too does not tell them apart.
        ("conductor: {role: equipment-grounding}", "grounding", "conductor.role"),
    ],
)
def test_rule_that_does_not_name_all_it_lists_excuses_the_rest(
    tmp_path: Path, when: str, rule_id: str, leaf: str
) -> None:
    assert unexcused(read(tmp_path, when, rule_id=rule_id), leaf)
