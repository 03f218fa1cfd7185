"""Every command belongs to the project of its folder, or to the one that it is told."""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main
from splicewright.project.reading import read_project
from tests.project.projects import project

QUESTION = '{"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}}'


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SPLICEWRIGHT_PROJECT", raising=False)
    below = tmp_path / "jobs"
    below.mkdir()
    monkeypatch.chdir(below)
    return project(tmp_path)


def ran(*words: str, given: str = QUESTION) -> Result:
    return CliRunner().invoke(main, words, input=given)


def answered(*words: str, given: str = QUESTION) -> Any:
    return json.loads(ran(*words, given=given).stdout)


def test_init_writes_a_file_that_says_nothing_yet_and_can_say_each_line(tmp_path: Path) -> None:
    assert ran("init", str(tmp_path)).exit_code == 0
    file = tmp_path / "splicewright.toml"
    found = read_project(file)
    assert (found.code, found.catalogue, found.only, found.catalogues, found.waive) == (None, None, {}, None, ())
    assert (found.amendment_files, found.columns, found.service) == (None, {}, {})
    lines = file.read_text(encoding="utf-8").split("\n")
    assert all("# " in line for line in lines if line)
    said = "\n".join(line.removeprefix("# ") if " = " in line else line for line in lines)
    assert set(tomllib.loads(said)) >= {"code", "catalogue", "amendments", "catalogues", "only", "waive", "service"}
    file.write_text(said, encoding="utf-8")
    (tmp_path / "shelf").mkdir()
    (tmp_path / "rules").mkdir()
    assert read_project(file).only == {"methods": ["lever", "twist-on"]}


def test_init_leaves_a_file_that_is_there(file: Path) -> None:
    before = file.read_bytes()
    ended = ran("init", str(file.parent))
    assert (ended.exit_code, "is there already" in ended.output, file.read_bytes()) == (2, True, before)
    assert ran("init", "/proc").exit_code == 2


@pytest.mark.usefixtures("file")
def test_each_command_that_answers_takes_the_nearest(tmp_path: Path) -> None:
    assert answered("choose", "--format", "json")["catalogue"]["name"] == "our-shelf"
    assert "our-shelf" in ran("choose").stdout
    checked = QUESTION[:-1] + ', "proposal": {"connector": "lever-3-port"}}'
    assert answered("check", "--format", "json", given=checked)["catalogue"]["name"] == "our-shelf"
    job = f'{{"joints": [{QUESTION[:-1]}, "quantity": 2}}]}}'
    assert answered("job", "--format", "json", given=job)["catalogue"]["name"] == "our-shelf"
    box = f'{{"wires": [{{"size": "14 AWG", "count": 3}}], "joints": [{QUESTION}]}}'
    assert answered("box", "--format", "json", given=box)["joints"][0]["catalogue"]["name"] == "our-shelf"
    assert answered("batch", "--quiet")["catalogue"]["name"] == "our-shelf"
    (tmp_path / "jobs" / "a.json").write_text(checked.replace("lever-3-port", "lever-3-prt"))
    assert "catalogue our-shelf has no such connector" in ran("check", str(tmp_path / "jobs")).output


def test_rules_are_those_of_its_code(file: Path) -> None:
    file.write_text('code = "nfpa70-2017"', encoding="utf-8")
    assert ran("rules", "list").output == ran("rules", "list", "--code", "nfpa70-2017").output
    assert ran("rules", "list").output != ran("rules", "list", "--code", "nfpa70-2023").output


def test_it_is_named_by_option_or_environment(
    file: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    assert answered("choose", "--format", "json")["catalogue"]["name"] == "shop"
    assert answered("--project", str(file), "choose", "--format", "json")["catalogue"]["name"] == "our-shelf"
    monkeypatch.setenv("SPLICEWRIGHT_PROJECT", str(file))
    assert answered("choose", "--format", "json")["catalogue"]["name"] == "our-shelf"
    ended = ran("--project", str(tmp_path / "none.toml"), "choose")
    assert (ended.exit_code, "none.toml: No such file" in ended.output) == (2, True)


@pytest.mark.slow
@pytest.mark.usefixtures("file")
def test_workers_and_python_take_it_too(tmp_path: Path) -> None:
    lines = tmp_path / "lines.ndjson"
    lines.write_text("".join(f'{{"id": "{number}", {QUESTION[1:]}\n' for number in range(6000)))
    out = tmp_path / "answers.ndjson"
    assert ran("batch", str(lines), "--workers", "2", "--quiet", "--output", str(out)).exit_code == 0
    written = out.read_text().splitlines()
    assert len(written) == 6000
    assert all('"catalogue":{"name":"our-shelf"' in line for line in written)
    code = f"import splicewright as s; print(s.choose({QUESTION})['catalogue']['name'])"
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert ended.stdout == "our-shelf\n"


@pytest.mark.slow
def test_workers_of_a_cluster_are_sent_it(file: Path, tmp_path: Path) -> None:
    lines = tmp_path / "lines.ndjson"
    lines.write_text(QUESTION + "\n")
    command = [sys.executable, "-m", "splicewright", "--project", str(file), "batch", "--quiet"]
    asked = [*command, "--cluster", "local", "--workers", "1", str(lines)]
    ended = subprocess.run(asked, capture_output=True, text=True, timeout=100, check=True, cwd="/")
    assert json.loads(ended.stdout)["catalogue"]["name"] == "our-shelf"
