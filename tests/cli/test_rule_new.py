"""`rules new`: a file that is tried once its words are replaced; what is there is left as it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright import shipped
from splicewright.cli.main import main
from splicewright.rulebook.amendment_files import AmendmentText
from splicewright.rulebook.effects import EFFECTS
from splicewright.trials.trial import Trial, run_trial


@pytest.mark.slow
def test_every_kind_passes_its_trial_once_its_marked_words_are_replaced(tmp_path: Path) -> None:
    texts = []
    for does in EFFECTS:
        file = tmp_path / f"our-{does}.yaml"
        ended = CliRunner().invoke(main, ["rules", "new", file.stem, "--does", does, "--output", str(file)])
        assert (ended.exit_code, ended.stderr) == (0, "")
        text = re.sub(r"<([^<>\n]+)>", r"\1", file.read_text())
        texts.append(AmendmentText(file.stem, file.name, text.encode()))
    tried = run_trial(Trial(shipped.folder("rulesets"), None, "nfpa70-2023", (), None, tuple(texts)))
    assert list(map(str, tried.faults)) == []
    assert [note for note in tried.told["notes"] if "fails by more than one" in note["says"]] == []


def test_it_writes_nothing_over(tmp_path: Path) -> None:
    file = tmp_path / "our-firm.yaml"
    file.write_text("mine")
    ended = CliRunner().invoke(main, ["rules", "new", "our-firm", "--output", str(file)])
    assert (ended.exit_code, file.read_text()) == (2, "mine")
    assert "is there already; it is left as it is" in ended.stderr


def test_it_makes_the_folder_and_tells_where_it_can_not(tmp_path: Path) -> None:
    file = tmp_path / "rules" / "firm" / "our-firm.yaml"
    assert CliRunner().invoke(main, ["rules", "new", "our-firm", "--output", str(file)]).exit_code == 0
    assert file.read_text().startswith("# Replace what stands between")
    ended = CliRunner().invoke(main, ["rules", "new", "our-firm", "--output", str(file / "our-firm.yaml")])
    assert (ended.exit_code, ended.stderr) == (2, f"{file}: no folder can be made there: File exists\n")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["Our-Firm"], "Our-Firm: is no name"),
        (["our-firm", "--does", "forbid"], '--does: "forbid" is not known'),
        (["our-firm", "--amends", "nfpa70-2022"], '--amends: "nfpa70-2022" is not known'),
        (["our-firm", "--output", "rules.yaml"], "write our-firm.yaml"),
    ],
)
def test_what_it_can_not_write_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], says: str
) -> None:
    monkeypatch.chdir(tmp_path)
    ended = CliRunner().invoke(main, ["rules", "new", *words])
    assert ended.exit_code == 2
    assert says in ended.stderr
    assert list(tmp_path.iterdir()) == []
