"""What a shelf takes, what changed, what it leaves open and what covers most, from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main
from tests.catalogue.making import catalogue, combinations, listing
from tests.shelf.files import joint, written

_SOUND = {"volts": "600 V", "degrees": "90 degC", "insulated": True}
_MINE = listing(id="mine", takes=[combinations({"14 AWG": "2 to 3"})], **_SOUND)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["catalogue", *arguments])


@pytest.fixture
def shelf(tmp_path: Path) -> str:
    return written(tmp_path, "mine.yaml", catalogue(_MINE))


@pytest.fixture
def job(tmp_path: Path) -> str:
    joints = [
        joint("14 AWG", 2, quantity=4),
        joint("14 AWG", 5, id="five"),
        joint("14 AWG", 2, circuit={"volts": 2000}),
    ]
    return written(tmp_path, "job.json", {"joints": joints})


def test_takes_tells_each_filling_with_a_bar() -> None:
    result = run("takes", "twist-on-medium")
    assert result.exit_code == 0
    (line,) = [line for line in result.stdout.splitlines() if "2 to 5 x 14 AWG" in line]
    assert line.split()[0] == "·" * 12 + "█" * 18
    assert "4.16 to 10.4" in line


def test_takes_as_json(shelf: str) -> None:
    told = json.loads(run("takes", "mine", "--catalogue", shelf, "--format", "json").stdout)
    assert [one["takes"] for one in told["fillings"]] == ["2 to 3 x 14 AWG"]


def test_connector_that_is_not_there_is_told_with_the_nearest() -> None:
    result = run("takes", "twist-on-medum")
    assert result.exit_code == 2
    assert "did you mean 'twist-on-medium'?" in result.stderr


def test_diff_exits_with_1_where_something_changed(tmp_path: Path, shelf: str) -> None:
    other = written(tmp_path, "other.yaml", catalogue({**_MINE, "volts": "300 V", "places": ["dry", "wet"]}))
    assert run("diff", shelf, shelf).exit_code == 0
    result = run("diff", shelf, other)
    assert result.exit_code == 1
    assert "volts: 600 V, now 300 V" in result.stdout
    assert "+ wet" in result.stdout
    told = json.loads(run("diff", shelf, other, "--format", "json").stdout)
    assert [one["field"] for one in told["changed"][0]["fields"]] == ["volts", "places"]


def test_diff_tells_connectors_that_came_and_went(tmp_path: Path, shelf: str) -> None:
    other = written(tmp_path, "other.yaml", catalogue({**_MINE, "id": "yours"}))
    assert "1 added, 1 gone" in run("diff", shelf, other).stdout


def test_gaps_exit_with_1_and_tell_what_one_more_would_cover(shelf: str, job: str) -> None:
    result = run("gaps", job, "--catalogue", shelf, "--among", "shop")
    assert result.exit_code == 1
    assert "trial: of 6 joints 4 can be made; 1 is open." in result.stdout
    assert "5 conductors; at most 3 are listed" in result.stdout
    assert "one as mine, but for" in result.stdout
    assert "outside this tool" in " ".join(result.stdout.split())
    told = json.loads(run("gaps", job, "--catalogue", shelf, "--format", "json").stdout)
    assert told["joints"] == {"asked": 6, "covered": 4, "gaps": 1, "outside": 1}
    assert told["catalogue"]["name"] == "trial"


def test_shelf_without_a_gap_exits_with_0(tmp_path: Path, shelf: str) -> None:
    result = run("gaps", written(tmp_path, "q.json", joint("14 AWG", 2)), "--catalogue", shelf)
    assert (result.exit_code, "none is open" in result.stdout) == (0, True)


def test_cover_tells_types_and_what_stays_open(job: str) -> None:
    result = run("cover", job, "--types", "1", "--carry", "lever-2-port")
    assert result.exit_code == 1
    assert "1 type covers 5 of 6 joints; no other choice covers more." in result.stdout
    assert "lever-2-port" in result.stdout
    told = json.loads(run("cover", job, "--types", "2", "--format", "json").stdout)
    assert told["joints"] == {"asked": 6, "coverable": 5, "covered": 5}


def test_headings_of_ones_own_are_mapped(tmp_path: Path, shelf: str) -> None:
    table = tmp_path / "joints.csv"
    table.write_text("id,Wire,Qty\none,14 AWG,2\ntwo,14 AWG,3\n")
    result = run("gaps", str(table), "--catalogue", shelf, "--columns", "Wire=size,Qty=count")
    assert (result.exit_code, "of 2 joints 2 can be made" in result.stdout) == (0, True)


def test_cover_of_everything_exits_with_0(tmp_path: Path) -> None:
    assert run("cover", written(tmp_path, "q.json", joint("14 AWG", 2)), "--types", "1").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["gaps", "nowhere.yaml"], "no such file"),
        (["gaps", "nowhere.yaml", "--catalogue", "shp"], "did you mean 'shop'?"),
        (["diff", "shop", "./nowhere.yaml"], "can't be read"),
        (["cover", "nowhere.yaml", "--types", "-1"], "-1"),
    ],
)
def test_what_can_not_be_read_exits_with_2(arguments: list[str], says: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert says in result.stderr


@pytest.mark.parametrize(
    ("options", "code"),
    [(("--among", "shop"), 1), (("--catalogue", "shop"), 0), ((), 1)],
    ids=["among", "named", "own"],
)
def test_what_a_project_keeps_to_narrows_no_other_catalogue(
    tmp_path: Path, options: tuple[str, ...], code: int
) -> None:
    (tmp_path / "shelf").mkdir()
    written(tmp_path / "shelf", "mine.yaml", {**catalogue(_MINE), "catalogue": "mine"})
    project = tmp_path / "splicewright.toml"
    project.write_text('catalogue = "mine"\ncatalogues = "shelf/"\nonly = {connectors = ["mine"]}\n')
    four = written(tmp_path, "four.json", joint("14 AWG", 4))
    result = CliRunner().invoke(
        main, ["--project", str(project), "catalogue", "gaps", four, *options, "--format", "json"]
    )
    assert result.exit_code == code, result.stderr
    assert bool(json.loads(result.stdout)["of_another_catalogue"]) == ("--among" in options)
