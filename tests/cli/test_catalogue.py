"""`splicewright catalogue`: the connectors, for people and as the API gives them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.shell_completion import ShellComplete
from click.testing import CliRunner, Result

from splicewright.api.app import create_app
from splicewright.catalogue import load_catalogue
from splicewright.cli.main import main


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["catalogue", *arguments])


def test_catalogues_are_listed() -> None:
    result = run()
    assert result.exit_code == 0
    assert result.stdout.splitlines()[1].split()[:2] == ["shop", str(len(load_catalogue("shop").connectors))]


def test_every_connector_of_a_catalogue_is_listed_with_its_method() -> None:
    printed = [tuple(line.split()[:2]) for line in run("shop").stdout.splitlines() if line]
    assert {(connector.id, connector.method) for connector in load_catalogue("shop").connectors} <= set(printed)


@pytest.mark.parametrize(
    ("arguments", "path"),
    [
        ([], "/v1/catalogues"),
        (["shop"], "/v1/catalogues/shop"),
        (["shop", "--method", "lever"], "/v1/catalogues/shop?method=lever"),
    ],
)
def test_json_is_what_the_api_gives(arguments: list[str], path: str) -> None:
    told = create_app().test_client().get(path).get_json()
    assert json.loads(run(*arguments, "--format", "json").stdout) == told


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["shp"], "no catalogue: \"shp\" is not known; did you mean 'shop'?"),
        (["shop", "--method", "levr"], "did you mean 'lever'?"),
        (["--method", "lever"], "name the catalogue too"),
    ],
)
def test_what_is_not_known_is_refused_with_the_nearest(arguments: list[str], says: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert says in result.stderr


def test_catalogue_with_a_fault_is_told_with_file_and_line(tmp_path: Path) -> None:
    path = tmp_path / "catalogues" / "mine.yaml"
    path.parent.mkdir()
    path.write_text("catalogue: mine\nconnectors: 3\n")
    result = run("mine", "--rulesets", str(tmp_path))
    assert result.exit_code == 2
    assert f"{path}:2:" in result.stderr


def test_list_is_meant_where_no_command_is_named() -> None:
    assert run("list", "shop").stdout == run("shop").stdout


def test_command_that_is_misspelled_is_told() -> None:
    result = run("taks")
    assert result.exit_code == 2
    assert "did you mean 'takes'?" in result.stderr


def test_totals_of_metal_are_listed(tmp_path: Path) -> None:
    shelf = tmp_path / "catalogues"
    shelf.mkdir()
    total = "{from: 4 mm2, to: 16 mm2, count: 2 to 5, thinnest: 14 AWG, thickest: 10 AWG}"
    group = f"{{materials: [copper], constructions: [solid], metal: [{total}]}}"
    listing = f"  - {{id: cap, method: twist-on, takes: [{group}]}}\n"
    (shelf / "own.yaml").write_text(f"catalogue: own\nnote: Mine.\nconnectors:\n{listing}")
    result = run("own", "--rulesets", str(tmp_path))
    assert "2 to 5 conductors of 14 AWG to 10 AWG" in " ".join(result.stdout.split())


def test_commands_are_completed_by_the_shell() -> None:
    completing = ShellComplete(main, {}, "splicewright", "_SPLICEWRIGHT_COMPLETE")
    assert {one.value for one in completing.get_completions(["catalogue"], "")} >= {"list", "new", "import", "gaps"}
    assert [one.value for one in completing.get_completions(["catalogue"], "exp")] == ["export"]
