"""Checks over files and folders, end to end but for the command line."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from tests.audit.folder import BARRED, FINE, RULE, audited, repository, told, write
from tests.sheets.tables import workbook


def test_typo_on_line_40_is_told_with_line_column_and_nearest_word(tmp_path: Path) -> None:
    entry = "- id: j{}\n  joint: {{conductors: [{{size: 12 AWG, count: 2}}]}}\n  place: {{exposure: {}}}\n"
    before = "# the boathouse\n" + "".join(entry.format(at, "dry") for at in range(12))
    write(tmp_path, {"a.yaml": before + entry.format(12, "dryy")})
    (one,) = [finding for finding in audited(tmp_path).findings if finding.level == "error"]
    assert (one.spot.line, one.spot.column) == (40, 11)
    assert one.says == "/place/exposure: \"dryy\" is not known; did you mean 'dry'?"


def test_one_bad_entry_spoils_no_other(tmp_path: Path) -> None:
    write(
        tmp_path,
        {"a.yaml": f"---\n{FINE}bad: 1\n---\n{BARRED}---\n{FINE}", "b.yaml": "joint: ]\n", "c.json": '{"joint": {}}'},
    )
    assert told(audited(tmp_path)) == [
        ("a.yaml", 5, "error", "input/invalid"),
        ("a.yaml", 9, "error", RULE),
        ("b.yaml", 1, "error", "input/unreadable"),
        ("c.json", 1, "error", "input/invalid"),
    ]


@pytest.mark.parametrize("wrong", ["id: 5", f"id: {'x' * 101}", "explain: fulll", "explain: 5", "limit: 0"])
def test_entry_like_one_before_is_still_refused_for_what_differs(tmp_path: Path, wrong: str) -> None:
    write(tmp_path, {"a.yaml": f"---\nid: a\n{FINE}---\n{wrong}\n{FINE}"})
    assert told(audited(tmp_path)) == [("a.yaml", 7, "error", "input/invalid")]


def test_misread_cell_and_wrong_word_of_one_row_are_both_told(tmp_path: Path) -> None:
    write(tmp_path, {"a.csv": 'id,size,count,exposure,amps\na,12 AWG,2,dryy,"4,5"\n'})
    assert [finding.spot.heading for finding in audited(tmp_path).findings] == ["amps", "exposure"]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.csv", "id,size,count,role\na,12 AWG,2,Common\n"),
        ("a.xlsx", workbook(["id", "size", "count", "role"], ["a", "12 AWG", 2, "Common"])),
        ("a.yaml", "joint: {conductors: [{size: 12 AWG, count: 2, role: Common}]}\n"),
        ("a.json", '{"joint": {"conductors": [{"size": "12 AWG", "count": 2, "role": "Common"}]}}'),
        ("a.ndjson", '{"joint": {"conductors": [{"size": "12 AWG", "count": 2, "role": "Common"}]}}\n'),
    ],
)
def test_word_of_two_meanings_is_told_what_to_say_in_every_kind_of_file(
    tmp_path: Path, name: str, text: str | bytes
) -> None:
    write(tmp_path, {name: text})
    (one,) = audited(tmp_path).findings
    assert '"Common" is not known; say grounded for the neutral, ungrounded for a switch leg' in one.says


def test_word_that_people_say_is_read_and_noted_in_its_cell(tmp_path: Path) -> None:
    write(tmp_path, {"a.csv": "id,size,count,role\na,12 AWG,2,Switch Leg\n"})
    notes = [finding for finding in audited(tmp_path).findings if finding.rule == "input/read-as"]
    assert [(note.level, note.spot.heading, note.says) for note in notes] == [
        ("note", "role", '"Switch Leg" was read as ungrounded.')
    ]


def test_misread_size_is_told_once(tmp_path: Path) -> None:
    write(tmp_path, {"a.csv": 'id,size,count\na,"2,5 mm2",2\n'})
    assert [finding.says for finding in audited(tmp_path).findings] == [
        'size: "2,5" has a decimal comma; write it with a point: 2.5'
    ]


def test_joints_under_a_wrong_heading_are_read_but_not_decided(tmp_path: Path) -> None:
    write(tmp_path, {"a.csv": "id,size,count,enclosur\na,12 AWG,2,raceway\nb,12,2,box\n"})
    assert told(audited(tmp_path)) == [("a.csv", 1, "error", "input/invalid"), ("a.csv", 3, "error", "input/invalid")]


def test_box_and_its_joints_are_told_apart(tmp_path: Path) -> None:
    text = """id: b
box: {name: 4 x 1-1/2 square}
clamps: none
wires: [{count: 16, size: 12 AWG}]
joints:
  - id: a
    joint: {}
"""
    write(tmp_path, {"a.yaml": text})
    assert [(finding.joint, finding.spot.line, finding.rule) for finding in audited(tmp_path).findings] == [
        ("b", 2, "box/too-small"),
        ("a", 7, "input/invalid"),
    ]


def test_note_stands_at_the_nearest_part_to_the_word_that_is_wanting(tmp_path: Path) -> None:
    text = """joint:
  conductors:
    - {size: 12 AWG, insulation: THHN}
    - {size: 12 AWG}
place: {exposure: wet, room: true, current_carrying: 3}
circuit:
  amps: 8
"""
    write(tmp_path, {"a.yaml": text})
    notes = [(finding.spot.line, finding.rule) for finding in audited(tmp_path).findings if finding.level == "note"]
    assert notes == [
        (4, "concern/ampacity"),
        (4, "concern/insulation"),
        (6, "concern/continuous-load"),
        (6, "concern/overcurrent"),
    ]


def test_note_stands_in_the_empty_cell_that_was_to_be_filled_in(tmp_path: Path) -> None:
    head = ["id", "size", "count", "insulation", "amps", "overcurrent amps", "continuous"]
    head += ["room", "current carrying"]
    first = ["a", "12 AWG", 2, "THHN", 8, 15, None, "yes", 3]
    rows = [first, ["b", "12 AWG", 1, "THHN", 8, 15, "no", "yes", 3], ["b", "12 AWG"]]
    write(tmp_path, {"a.xlsx": workbook(head, *rows)})
    assert [(finding.spot.cell, finding.level, finding.rule) for finding in audited(tmp_path).findings] == [
        ("G2", "note", "concern/continuous-load"),
        ("D4", "note", "concern/ampacity"),
    ]


def test_notes_of_a_box_and_of_its_joints_stand_with_each(tmp_path: Path) -> None:
    text = """id: b
clamps: none
circuit: {amps: 8, overcurrent_amps: 15}
wires: [{count: 2, size: 12 AWG}]
joints:
  - id: a
    joint: {conductors: [{size: 12 AWG, count: 2, insulation: THHN}]}
    place: {current_carrying: 3}
"""
    write(tmp_path, {"a.yaml": text})
    assert [
        (finding.joint, finding.spot.line, finding.level, finding.rule) for finding in audited(tmp_path).findings
    ] == [
        ("b", 1, "note", "concern/box-room"),
        ("a", 3, "note", "concern/continuous-load"),
        ("a", 8, "note", "concern/box-room"),
    ]


BOXED = """id: b
clamps: none
box: {volume: {value: 30, unit: in3}}
place: {exposure: wet}
circuit: {volts: 120, amps: 8, overcurrent_amps: 15, continuous: false}
wires: [{count: 4, size: 12 AWG}]
joints:
  - id: first
    place: {current_carrying: 3}
    joint:
      conductors:
        - {size: 12 AWG, insulation: THWN-2}
        - {size: 12 AWG}
  - id: last
    place: {current_carrying: 3}
    joint:
      conductors:
        - {size: 12 AWG, insulation: THHN}
        - {size: 12 AWG, insulation: THWN-2}
"""


@pytest.mark.parametrize("deeper", [False, True])
def test_finding_of_a_joint_in_a_box_stands_at_its_own_word(tmp_path: Path, deeper: bool) -> None:
    entry = "".join(f"    {line}\n" for line in BOXED.splitlines())
    write(tmp_path, {"a.yaml": f"id: j\nboxes:\n  -\n{entry}" if deeper else BOXED})
    down = 3 if deeper else 0
    assert [
        (finding.joint, finding.spot.line - down, finding.level, finding.rule) for finding in audited(tmp_path).findings
    ] == [
        ("first", 13, "note", "concern/ampacity"),
        ("first", 13, "note", "concern/insulation"),
        ("last", 18, "error", "environment/insulation-not-for-wet"),
    ]


def test_word_of_the_box_that_bars_its_joints_is_pointed_to_where_the_box_says_it(tmp_path: Path) -> None:
    text = BOXED.replace("place: {exposure: wet}", "place: {reach: concealed}")
    write(tmp_path, {"a.yaml": text})
    found = [(one.joint, one.spot.line, one.rule) for one in audited(tmp_path).findings if one.level == "error"]
    assert found == [(name, 4, "access/box-stays-within-reach") for name in ("first", "last")]


def test_joint_of_a_box_that_no_connector_takes_is_told_at_its_joint(tmp_path: Path) -> None:
    many = BOXED.replace("{size: 12 AWG, insulation: THHN}", "{size: 4/0 AWG, insulation: THWN-2, count: 9}")
    write(tmp_path, {"a.yaml": many})
    (one,) = [one for one in audited(tmp_path).findings if one.rule == "answer/no-connector"]
    assert (one.joint, one.spot.line) == ("last", 16)


def test_waiver_in_a_joint_of_a_box_holds(tmp_path: Path) -> None:
    text = """box: {volume: {value: 30, unit: in3}}
clamps: none
wires: [{count: 2, size: 12 AWG, role: ungrounded}, {count: 1, size: 12 AWG, role: grounded}]
joints:
  - joint: {conductors: [{size: 12 AWG, insulation: THHN}, {size: 12 AWG, role: grounded, insulation: THHN}]}
    circuit: {volts: 120, amps: 8, overcurrent_amps: 15, continuous: false}
    place: {current_carrying: 3}
"""
    write(tmp_path, {"a.yaml": text})
    (rule,) = {rule for _, _, level, rule in told(audited(tmp_path)) if level == "error"}
    waiver = f"    waive: [{{rule: {rule}, reason: test, until: 2026-12-31}}]\n"
    write(tmp_path, {"a.yaml": text + waiver})
    assert told(audited(tmp_path)) == []


def test_findings_are_the_same_in_any_order_of_paths(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": BARRED, "b.yaml": BARRED, "c/d.yaml": BARRED})
    assert audited(tmp_path, "c", "b.yaml", "a.yaml").findings == audited(tmp_path, ".").findings


def test_file_that_is_nothing_of_ours_is_passed_over_and_told_if_strict(tmp_path: Path) -> None:
    write(tmp_path, {"ci.yaml": "on: push\n", "a.yaml": FINE})
    found = audited(tmp_path)
    assert (found.checked, found.passed_over, told(found)) == (("a.yaml",), ("ci.yaml",), [])
    assert told(audited(tmp_path, strict=True)) == [("ci.yaml", 1, "error", "input/unrecognized")]


def test_200_files_with_5_planted_faults_report_just_those(tmp_path: Path) -> None:
    planted = repository(tmp_path)
    assert told(audited(tmp_path)) == planted


@pytest.mark.slow
def test_20000_rows_with_20_faulty_cells_name_all_20(tmp_path: Path) -> None:
    head = ["id", "size", "count", "insulation", "exposure", "volts", "amps", "overcurrent amps", "continuous"]
    head += ["room", "current carrying"]
    draw = random.Random(7)
    rows: list[list[Any]] = [
        [
            f"j{number}",
            draw.choice(["12 AWG", "14 AWG"]),
            draw.choice([2, 3]),
            "THHN",
            "dry",
            120,
            8,
            15,
            "no",
            "yes",
            3,
        ]
        for number in range(20_000)
    ]
    faulty = {}
    for row in draw.sample(range(20_000), 20):
        column, wrong = draw.choice([(1, "12"), (4, "dryy"), (5, "1,200"), (6, "many"), (2, 0)])
        rows[row][column] = wrong
        faulty[row + 2] = "ABCDEFGH"[column] + str(row + 2)
    write(tmp_path, {"a.xlsx": workbook(head, *rows)})
    found = audited(tmp_path)
    assert [finding.spot.cell for finding in found.findings] == [faulty[row] for row in sorted(faulty)]
    assert {finding.level for finding in found.findings} == {"error"}


@pytest.mark.parametrize(
    "text",
    [
        "joint: " + "[" * 100,
        "joint: &a [*a]",
        "joint: !!python/object:os.system x",
        "joint: \x00",
        "\ud800".encode("utf-8", "surrogatepass"),
    ],
)
def test_hostile_text_is_told_and_ends_nothing(tmp_path: Path, text: str | bytes) -> None:
    write(tmp_path, {"a.yaml": text, "b.yaml": BARRED})
    found = audited(tmp_path, "a.yaml", "b.yaml")
    assert [(finding.file, finding.rule) for finding in found.findings] == [
        ("a.yaml", "input/unreadable"),
        ("b.yaml", RULE),
    ]
