"""`rules try` on a stack that is written as elsewhere: amendments by name or from files, and a catalogue."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main
from tests.house_rule import FIRM

COUNTY = FIRM.replace("our-firm", "bay").replace("no-push-ins-in-kitchens", "levers-there")
TAKES = "ruleset: taking\nabout: Takes out.\namends: every-code\nwithdraws: [{rule: bay/levers-there, says: Not we.}]\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SPLICEWRIGHT_PROJECT", raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bay.yaml").write_text(COUNTY)
    (tmp_path / "taking.yaml").write_text(TAKES)
    return tmp_path


def ran(*words: str) -> Result:
    return CliRunner().invoke(main, ["rules", "try", "taking.yaml", *words])


@pytest.mark.slow
@pytest.mark.parametrize("county", ["./bay.yaml", "bay.yaml"])
def test_files_beneath_are_laid_in_their_place(folder: Path, county: str) -> None:
    ended = ran("--on", f"nfpa70-2020+house-rules+{county}@shop", "--format", "json")
    assert ended.exit_code == 0, ended.output
    told = json.loads(ended.stdout)
    assert told["rulesets"]["code"] == "nfpa70-2020"
    assert told["rulesets"]["amendments"] == ["house-rules", "bay", "taking"]
    assert told["catalogue"]["name"] == "shop"
    (folder / "bay.yaml").write_text(COUNTY.replace("push-in}", "push}"))
    ended = ran("--on", f"nfpa70-2020+{county}")
    assert ended.exit_code == 2
    assert f"{county}:7: levers-there: " in ended.stderr


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize(
    ("stack", "told"),
    [
        ("nfpa70-2022", "--on: nfpa70-2022: the code \"nfpa70-2022\" is not known; did you mean 'nfpa70-2023'?"),
        ("nfpa70-2023+", "--on: nfpa70-2023+: is not written CODE[+AMENDMENT…][@CATALOGUE]"),
        ("nfpa70-2023@./mine.yaml", "--on: ./mine.yaml: name a catalogue here; one of a file is tried as FILE"),
        ("nfpa70-2023+./none.yaml", "./none.yaml: No such file or directory"),
    ],
)
def test_a_stack_that_can_not_be_is_told(stack: str, told: str) -> None:
    ended = ran("--on", stack)
    assert (ended.exit_code, ended.stderr.strip()) == (2, told)
