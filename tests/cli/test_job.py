"""`splicewright job`: exit status, one screen for people, errors with their line."""

from __future__ import annotations

from pathlib import Path

import orjson
import pytest
from click.testing import CliRunner, Result

from splicewright import plan_job, shipped
from splicewright.cli.main import main
from splicewright.yaml_text import read_yaml

EXAMPLE = shipped.folder("openapi") / "examples" / "boathouse-job.yaml"
GOOD = "joints:\n  - {id: a, quantity: 24, joint: {conductors: [{size: 12 AWG, count: 3}]}}\n"
BARRED = GOOD + "  - {joint: {conductors: [{size: 12 AWG, count: 2}]}, place: {enclosure: raceway}}\n"
WRONG = GOOD + "  - {id: b, joint: {conductors: [{size: 12}]}}\n"


def run(text: str, *options: str) -> Result:
    return CliRunner().invoke(main, ["job", "-", *options], input=text)


def test_what_amendments_took_out_is_told() -> None:
    for options in ((), ("--details",)):
        shown = " ".join(run(GOOD + "amendments: [coastal-county]\n", *options).stdout.split())
        assert "Amended by coastal-county service/clear-housing-shows-the-ends withdrawn by coastal-county:" in shown
        assert "(24 joints)" in shown
        assert "Amended" not in run(GOOD, *options).stdout


@pytest.mark.parametrize(
    ("text", "code"),
    [(GOOD, 0), (BARRED, 1), (WRONG, 1), (GOOD + "stock: {aim: least}\n", 2), ("joints: []\n", 2), ("[", 2), ("", 2)],
)
def test_exit_status_tells_how_it_went(text: str, code: int) -> None:
    assert run(text).exit_code == code


def test_the_boathouse_job_prints_problems_takeoff_and_plan_on_one_screen() -> None:
    result = CliRunner().invoke(main, ["job", str(EXAMPLE)])
    assert result.exit_code == 1
    order = ["boathouse-refit: ", "Not judged", "Problems", "Takeoff", "Pigtails and jumpers", "Stock plan", "To judge"]
    places = [result.stdout.index(part) for part in order]
    assert places == sorted(places)
    assert len(result.stdout.splitlines()) <= 80  # lines of a printed page


@pytest.mark.parametrize(
    "part",
    [
        "barred",
        "outside this tool",
        "no connector",
        "box too small",
        "already carried",
        "in all",
        "One type fewer leaves",
    ],
)
def test_the_boathouse_job_tells(part: str) -> None:
    assert part in CliRunner().invoke(main, ["job", str(EXAMPLE)]).stdout


def test_details_tell_each_caution_and_default() -> None:
    brief, details = run(GOOD), run(GOOD, "--details")
    assert "--details tells each" in brief.stdout
    assert "Cautions" in details.stdout
    assert "Assumed, because not stated" in details.stdout


def test_json_is_the_answer() -> None:
    result = run(BARRED, "--format", "json")
    assert orjson.loads(result.stdout) == orjson.loads(orjson.dumps(plan_job(read_yaml(BARRED).value)))


def test_an_error_of_a_joint_is_told_with_its_line() -> None:
    result = run(WRONG)
    assert result.stderr == "-:3: /joints/1/joint/conductors/0/size: '12' has no unit; write '12 AWG' or '12 mm2'\n"


def test_a_job_that_is_not_valid_tells_every_problem_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(GOOD + "stock:\n  aim: least\n  carry: [lever-3-prt]\n")
    result = CliRunner().invoke(main, ["job", str(path)])
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{path}:4: /stock/aim: ")


def test_a_plan_that_saves_by_a_further_type_says_so() -> None:
    prices = "{lever-5-port: {each: 1}, lever-3-port: {each: 0.5}, push-in-2-port: {each: 0.1}}"
    joints = GOOD + "  - {quantity: 9, joint: {conductors: [{size: 12 AWG, count: 2}]}}\n"
    result = run(joints + f"stock: {{aim: least-cost, prices: {prices}}}\n")
    assert "for least cost, proven" in result.stdout
    assert "One type fewer makes all joints" in result.stdout


def test_a_joint_without_a_price_says_which_would_help() -> None:
    result = run(GOOD + "stock: {aim: least-cost, prices: {split-bolt-large: {each: 1}}}\n")
    assert "give a price for one of:" in result.stdout


def test_help_is_there() -> None:
    result = CliRunner().invoke(main, ["job", "--help"])
    assert result.exit_code == 0
    assert "--details" in result.stdout


def test_file_that_is_checked_in_a_repository_is_a_job_too() -> None:
    noted = GOOD.replace("quantity: 24", "quantity: 24, proposal: {method: push-in}, waive: []") + "waive: []\n"
    assert run(noted).stdout == run(GOOD).stdout
