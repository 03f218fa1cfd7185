"""A job's joints and boxes are judged on their own lines, with the job's words laid under them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.audit.folder import RULE, audited, told, write

HEAD = "id: slip\ndefaults: {circuit: {volts: 120, amps: 8, overcurrent_amps: 15, continuous: false}, "
HEAD += "place: {room: true, current_carrying: 3}}\njoints:\n"
CONDUCTORS = "joint: {conductors: [{size: 12 AWG, count: 2, insulation: THHN}]}"
FINE = f"  - {{id: fine, quantity: 24, {CONDUCTORS}}}\n"


def found(folder: Path, text: str) -> list[tuple[str | None, int, str, str]]:
    write(folder, {"a.yaml": text})
    return [
        (finding.joint, finding.spot.line, finding.level, finding.rule)
        for finding in audited(folder).findings
        if finding.counts
    ]


def test_job_with_nothing_wrong_is_not_judged(tmp_path: Path) -> None:
    assert found(tmp_path, HEAD + FINE) == []


def test_defaults_lie_under_each_joint_leaf_by_leaf(tmp_path: Path) -> None:
    text = HEAD + f"  - {{id: a, {CONDUCTORS}, circuit: {{amps: 90}}}}\n"
    # It takes the joint's own load beside the device of the defaults to tell this.
    assert ("a", 4, "error", "overcurrent/load-above-its-device") in found(tmp_path, text)


def test_note_is_told_on_each_joint_that_lacks_the_word_and_on_none_that_has_it(tmp_path: Path) -> None:
    text = (
        HEAD.replace(", continuous: false", "")
        + FINE
        + f"  - {{id: a, {CONDUCTORS}, circuit: {{continuous: false}}}}\n"
    )
    assert found(tmp_path, text) == [("fine", 4, "note", "concern/continuous-load")]


def test_default_that_bars_is_told_on_each_joint(tmp_path: Path) -> None:
    text = HEAD.replace("place: {", "place: {enclosure: raceway, ") + FINE + FINE.replace("fine", "b")
    assert found(tmp_path, text) == [("fine", 4, "error", RULE), ("b", 5, "error", RULE)]


def test_proposal_of_a_joint_is_checked_on_its_line(tmp_path: Path) -> None:
    text = f"""{HEAD}{FINE}  - id: hoist
    {CONDUCTORS}
    place: {{movement: vibrating}}
    proposal:
      strip: {{value: 11, unit: mm}}
      connector: push-in-2-port
      tugged: true
      taped: true
      tied: true
      covered: true
"""
    assert found(tmp_path, text) == [("hoist", 10, "error", "vibration/no-push-in-where-it-moves")]


@pytest.mark.parametrize(
    ("joint", "pointer"),
    [
        ("{id: a, joint: {conductors: [{size: 12}]}}", "/joints/1/joint/conductors/0/size"),
        (f"{{id: a, {CONDUCTORS}, quantity: 0}}", "/joints/1/quantity"),
        (f"{{id: a, {CONDUCTORS}, pigtails: [{{size: 12}}]}}", "/joints/1/pigtails/0/size"),
        (f"{{id: a, {CONDUCTORS}, plaice: {{}}}}", "/joints/1/plaice"),
        (f"{{id: a, {CONDUCTORS}, code: nfpa70-2023}}", "/joints/1/code"),
        (f"{{id: a, {CONDUCTORS}, proposal: {{}}}}", "/joints/1/proposal"),
        ("3", "/joints/1"),
    ],
)
def test_joint_that_is_not_valid_is_told_and_spoils_no_other(tmp_path: Path, joint: str, pointer: str) -> None:
    barred = FINE.replace("fine", "b").replace("quantity: 24", "place: {enclosure: raceway}")
    write(tmp_path, {"a.yaml": f"{HEAD}{FINE}  - {joint}\n{barred}"})
    findings = audited(tmp_path).findings
    assert [(finding.spot.line, finding.rule) for finding in findings] == [(5, "input/invalid"), (6, RULE)]
    assert findings[0].pointer == pointer


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ("stock: {carry: [lever-2-prt]}\n", "/stock/carry/0"),
        ("stock: {aim: cheapest}\n", "/stock/aim"),
        ("catalogue: shopp\n", "/catalogue"),
        ("defalts: {}\n", "/defalts"),
    ],
)
def test_fault_of_the_whole_job_is_told_and_its_joints_are_still_read(tmp_path: Path, wrong: str, pointer: str) -> None:
    write(tmp_path, {"a.yaml": HEAD + FINE + FINE.replace("fine", "b").replace("12 AWG", "12") + wrong})
    findings = audited(tmp_path).findings
    assert [(finding.spot.line, finding.rule) for finding in findings] == [(5, "input/invalid"), (6, "input/invalid")]
    assert findings[1].pointer == pointer


def test_box_of_a_job_is_judged_with_its_joints(tmp_path: Path) -> None:
    text = f"""defaults: {{circuit: {{volts: 120, amps: 8, overcurrent_amps: 15, continuous: false}}}}
boxes:
  - id: b
    quantity: 2
    box: {{name: 4 x 1-1/2 square}}
    clamps: none
    wires:
      - {{count: 16, size: 12 AWG}}
    joints:
      - id: in-it
        {CONDUCTORS}
        place: {{exposure: dryy}}
"""
    assert found(tmp_path, text) == [("b", 5, "error", "box/too-small"), ("in-it", 12, "error", "input/invalid")]


@pytest.mark.parametrize(
    "box", ["3", "{id: b}", "{id: b, wires: [{size: 12}]}", "{id: b, wires: [{size: 12 AWG}], code: x}"]
)
def test_box_that_is_not_valid_is_told(tmp_path: Path, box: str) -> None:
    write(tmp_path, {"a.yaml": f"boxes:\n  - {box}\n"})
    assert {(line, rule) for _, line, _, rule in told(audited(tmp_path))} == {(2, "input/invalid")}


def test_waivers_stand_with_the_joints_and_boxes_of_a_job(tmp_path: Path) -> None:
    waiver = f"waive: [{{rule: {RULE}, reason: x, until: 2026-12-31}}]"
    raceway = FINE.replace("quantity: 24", "place: {enclosure: raceway}")
    text = f"{HEAD}{raceway.replace('{id: fine', '{id: fine, ' + waiver)}{raceway.replace('fine', 'b')}"
    assert found(tmp_path, text) == [("b", 5, "error", RULE)]


def test_waiver_of_the_whole_job_waives_none_of_its_joints(tmp_path: Path) -> None:
    waiver = f"waive: [{{rule: {RULE}, reason: x, until: 2026-12-31}}]\n"
    text = HEAD + FINE.replace("quantity: 24", "place: {enclosure: raceway}") + waiver
    assert found(tmp_path, text) == [("fine", 4, "error", RULE), ("slip", 5, "warning", "waiver/not-needed")]


def test_name_that_stands_twice_is_told_at_the_later_one(tmp_path: Path) -> None:
    assert found(tmp_path, HEAD + FINE + FINE) == [("fine", 5, "error", "input/invalid")]


def test_default_for_joints_without_a_box_is_not_laid_under_boxes(tmp_path: Path) -> None:
    place = "defaults: {place: {enclosure: luminaire}}"
    box = "boxes:\n  - {box: {name: 4 x 1-1/2 square}, wires: [{size: 12 AWG}]}\n"
    assert found(tmp_path, f"{place}\n{box}") == []
