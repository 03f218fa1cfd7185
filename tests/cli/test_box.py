"""`splicewright box`: exit status, tables for people, errors with their line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import orjson
import pytest
from click.testing import CliRunner, Result

from splicewright import fill_box, shipped
from splicewright.cli.main import main
from splicewright.yaml_text import read_yaml

EXAMPLE = shipped.folder("openapi") / "examples" / "boathouse-box.yaml"
FITS = "box: {name: 4 x 1-1/2 square}\nclamps: none\nwires: [{size: 12 AWG, count: 6}]\n"
SHORT = "box: {name: 3 x 2 x 1-1/2 device}\nwires: [{size: 12 AWG, count: 6}]\n"
UNKNOWN = "wires: [{size: 12 AWG, count: 6}]\n"


def run(text: str, *options: str) -> Result:
    return CliRunner().invoke(main, ["box", "-", *options], input=text)


def test_what_amendments_took_out_is_told() -> None:
    joints = "joints: [{joint: {conductors: [{size: 12 AWG, count: 2}]}}]\n"
    shown = " ".join(run(FITS + joints + "amendments: [coastal-county]\n").stdout.split())
    assert "Amended by coastal-county service/clear-housing-shows-the-ends withdrawn by coastal-county:" in shown
    assert "(1 joint)" in shown
    assert "Amended" not in run(FITS + joints).stdout


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (FITS, 0),
        (SHORT, 1),
        (UNKNOWN, 0),
        (FITS + "joints: [{joint: {conductors: [{size: 12 AWG, count: 2}]}}]\n", 0),
        (FITS + "joints: [{joint: {conductors: [{size: 12 AWG}, {size: 12 AWG, role: grounded}]}}]\n", 1),
        (FITS + "joints: [{joint: {conductors: [{size: 12}]}}]\n", 1),
        (FITS + "joints: [{joint: {conductors: [{size: 12 AWG, count: 7}]}}]\n", 1),
        ("box: {name: 4 x 2-1/8 square}\nwires: [{size: 4 AWG}]\n", 1),
        ("wires: [{size: 4 AWG}]\n", 1),
        ("wires: 3\n", 2),
        ("[", 2),
        ("", 2),
    ],
)
def test_the_exit_status_tells_whether_all_is_well(text: str, code: int) -> None:
    assert run(text).exit_code == code


def test_the_example_is_good() -> None:
    assert CliRunner().invoke(main, ["box", str(EXAMPLE)]).exit_code == 0


def test_json_is_what_the_python_call_gives() -> None:
    printed = CliRunner().invoke(main, ["box", str(EXAMPLE), "--format", "json"]).stdout
    assert orjson.loads(printed) == fill_box(read_yaml(EXAMPLE.read_bytes()).value)


def test_the_table_for_people_names_room_sources_boxes_joints_and_cautions() -> None:
    printed = " ".join(CliRunner().invoke(main, ["box", str(EXAMPLE)]).stdout.split())
    for part in (
        "Fits: 22.5 in3",
        "11.3 in3 (185.2 cm3) left",
        "6 x 12 AWG ended or spliced here",
        "NFPA 70 2023 314.16(B)(4)",
        "least that would do with these extensions",
        "neutral",
        "Length",
        "Joints",
    ):
        assert part in printed
    whole = " ".join(CliRunner().invoke(main, ["box", str(EXAMPLE), "--all"]).stdout.split())
    for part in ("4 x 2-1/8 square", "with these extensions, least first", "and 2 larger ones", "/devices/0/count 1"):
        assert part in whole


def test_a_box_that_falls_short_says_so_first() -> None:
    assert run(SHORT).stdout.startswith("Falls short: 13.5 in3 (221.2 cm3) needed, 7.5 in3 (122.9 cm3) in the box.")


def test_no_box_is_told_by_what_it_needs() -> None:
    assert run(UNKNOWN).stdout.startswith("No box given: at least 13.5 in3")


@pytest.mark.parametrize(
    "text", ["wires: [{size: 4 AWG}]\n", "box: {name: 4 x 1-1/2 square}\nwires: [{size: 4 AWG}]\n"]
)
def test_what_is_handed_over_is_told_with_its_section(text: str) -> None:
    assert "314.28(A)" in run(text).stdout


def test_where_no_standard_box_would_do_that_is_told() -> None:
    assert "No standard box would do" in run("wires: [{size: 6 AWG, count: 9}]\n").stdout


def test_a_contradiction_is_told_among_the_problems() -> None:
    printed = run(FITS + "devices: [{largest: 10 AWG}]\n").stdout
    assert "• /devices/0/largest: is 10 AWG" in printed


def test_a_bad_joint_is_told_with_file_and_line_and_the_rest_is_printed(tmp_path: Path) -> None:
    path = tmp_path / "box.yaml"
    path.write_text(
        FITS + "joints:\n  - id: good\n    joint: {conductors: [{size: 12 AWG, count: 2}]}\n"
        "  - id: bad\n    joint: {conductors: [{size: 12}]}\n"
    )
    result = CliRunner().invoke(main, ["box", str(path)])
    assert result.stderr.startswith(f"{path}:8: /joints/1/joint/conductors/0/size: '12' has no unit")
    assert "in error" in result.stdout
    assert "listed" in result.stdout


def test_a_barred_joint_is_told_with_its_reason() -> None:
    given = FITS + "joints: [{joint: {conductors: [{size: 12 AWG}, {size: 12 AWG, role: grounded}]}}]\n"
    result = run(given)
    (joint,) = orjson.loads(run(given, "--format", "json").stdout)["joints"]
    reason = next(bar["says"] for bar in joint["bars"] if "method" not in bar)
    assert reason[:40] in result.stdout


def test_every_problem_of_bad_input_is_told_with_its_line() -> None:
    result = run("box:\n  nam: x\nwires:\n  - {size: 12}\n  - {size: 12 AWG, path: loop}\n")
    assert result.exit_code == 2
    assert [line.split(": ")[0:2] for line in result.stderr.splitlines()] == [
        ["-:2", "/box/nam"],
        ["-:4", "/wires/0/size"],
        ["-:5", "/wires/1/path"],
    ]


@pytest.mark.parametrize("value", ["true", "'3'", "3.7", "-1", "1.0e400", "[]", "{}", "null"])
@pytest.mark.parametrize("key", ["fittings", "clamps", "wires", "devices", "joints", "box", "extensions", "code", "id"])
def test_no_wrong_value_crashes_it(key: str, value: str) -> None:
    result = run(f"{key}: {value}\n" + ("" if key == "wires" else "wires: [{size: 12 AWG}]\n"))
    assert result.exit_code in (0, 2)
    assert not isinstance(result.exception, Exception) or isinstance(result.exception, SystemExit)


def test_markup_in_what_was_given_is_printed_as_it_is() -> None:
    given: dict[str, Any] = {
        "wires": [{"size": "12 AWG", "count": 2}],
        "joints": [{"id": "[red]x", "joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}],
    }
    assert "[red]x" in run(orjson.dumps(given).decode()).stdout


JOINED = FITS + "joints: [{joint: {conductors: [{size: 12 AWG, count: 2}]}}]\n"


def test_json_has_what_is_included_beside_the_least() -> None:
    box = read_yaml(JOINED.encode()).value
    included = orjson.loads(run(JOINED, "--format", "json", "--include", "rules,meets").stdout)
    assert included == fill_box({**box, "include": ["meets", "rules"]})
    assert "rules" in included["joints"][0]
    assert "rules" not in orjson.loads(run(JOINED, "--format", "json").stdout)["joints"][0]


@pytest.mark.parametrize("said", [{"include": ["digests"]}, {"explain": "brief"}, {"explain": "full"}])
def test_what_the_box_says_of_how_much_to_tell_goes_before_the_option(said: dict[str, Any]) -> None:
    text = JOINED + orjson.dumps(said).decode()[1:-1].replace('"', "").replace(":", ": ") + "\n"
    told = orjson.loads(run(text, "--format", "json", "--include", "rules").stdout)
    assert told == fill_box({**read_yaml(JOINED.encode()).value, **said})
