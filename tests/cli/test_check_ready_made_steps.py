"""The ready-made steps: the hook for commits and the recipe for CI, each run on a small repository."""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from pre_commit.clientlib import load_manifest

from splicewright.audit.files import ENDINGS, UNREAD_TABLES
from tests.audit.folder import BARRED, FINE, RULE, placed, write

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
RECIPE = ROOT / "docker" / "ci" / "splices.yaml"
(HOOK,) = load_manifest(str(ROOT / ".pre-commit-hooks.yaml"))
OTHERS = {"ci.yaml": "on: push\njobs: {}\n", "package.json": '{"name": "x"}', "prices.csv": "part,price\na,3\n"}


def run(command: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a step of a shell, as its runner does, with this interpreter's commands found first."""
    path = os.pathsep.join((str(Path(sys.executable).parent), os.environ["PATH"]))
    return subprocess.run(
        ["bash", "-euo", "pipefail", "-c", command],
        cwd=folder, env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False,
    )  # fmt: skip


def hooked(folder: Path, files: dict[str, str]) -> subprocess.CompletedProcess[str]:
    write(folder, files)
    matching = sorted(name for name in files if re.search(HOOK["files"], name))
    return run(f"{HOOK['entry']} {shlex.join(matching)}", folder)


def test_hook_passes_a_commit_with_nothing_wrong(tmp_path: Path) -> None:
    ended = hooked(tmp_path, {"a.yaml": FINE, **OTHERS})
    assert (ended.returncode, ended.stderr) == (0, "")


def test_hook_stops_a_commit_on_the_line(tmp_path: Path) -> None:
    ended = hooked(tmp_path, {"jobs/a.yaml": BARRED, **OTHERS})
    assert ended.returncode == 1
    assert ended.stdout.startswith("jobs/a.yaml:3:9: error: ")


def test_hook_stops_a_commit_of_one_unsound_check(tmp_path: Path) -> None:
    ended = hooked(tmp_path, {"a.yaml": placed("movement: vibrating") + "proposal: {method: push-in}\n"})
    assert ended.returncode == 1
    assert "a.yaml:4:12: error: " in ended.stdout


def test_hook_passes_the_tables_of_a_catalogue_and_names_what_it_does_not_read(tmp_path: Path) -> None:
    assert run("splicewright catalogue new shelf.xlsx && splicewright catalogue new tables", tmp_path).returncode == 0
    files = [one.relative_to(tmp_path).as_posix() for one in tmp_path.rglob("*.*")]
    assert all(re.search(HOOK["files"], name) for name in files)
    write(tmp_path, {"a.xlsm": b"PK"})
    ended = run(f"{HOOK['entry']} {shlex.join([*files, 'a.xlsm'])}", tmp_path)
    assert (ended.returncode, "a.xlsm:1: warning: a .xlsm file is not read" in ended.stdout) == (0, True), ended.stdout
    assert ended.stdout.count("not checked here: splicewright catalogue check") == 2


@pytest.mark.parametrize("ending", [*ENDINGS, *UNREAD_TABLES])
def test_hook_is_given_every_kind_of_file_that_is_read_and_tables_that_are_not(ending: str) -> None:
    assert re.search(HOOK["files"], f"a{ending}")


def test_one_check_may_come_through_a_pipe(tmp_path: Path) -> None:
    write(
        tmp_path, {"a.yaml": FINE + "proposal: {connector: lever-2-port, strip: {value: 11, unit: mm}, tugged: true}\n"}
    )
    ended = run("splicewright check <(cat a.yaml)", tmp_path)
    assert (ended.returncode, ended.stdout[:5]) == (0, "Sound")


def steps() -> list[dict[str, Any]]:
    (job,) = yaml.safe_load(RECIPE.read_text())["jobs"].values()
    return list(job["steps"])


@pytest.mark.parametrize(("text", "status", "results"), [(FINE, 0, []), (BARRED, 1, [RULE])])
def test_check_of_the_recipe_writes_what_its_next_steps_upload(
    tmp_path: Path, text: str, status: int, results: list[str]
) -> None:
    write(tmp_path, {"jobs/a.yaml": text})
    (command,) = [step["run"] for step in steps() if "splicewright check" in step.get("run", "")]
    assert run(command, tmp_path).returncode == status
    (upload,) = [step for step in steps() if "upload-sarif" in step.get("uses", "")]
    (report,) = json.loads((tmp_path / upload["with"]["sarif_file"]).read_text())["runs"]
    assert [result["ruleId"] for result in report["results"]] == results
    kept = next(step["with"]["path"] for step in steps() if "upload-artifact" in step.get("uses", ""))
    assert all((tmp_path / name).is_file() for name in kept.split())


def test_findings_are_uploaded_also_where_the_check_fails() -> None:
    assert [step["if"] for step in steps() if "upload" in step.get("uses", "")] == ["always()", "always()"]


def test_recipe_is_a_workflow() -> None:
    ended = run(f"check-jsonschema --builtin-schema vendor.github-workflows {shlex.quote(str(RECIPE))}", ROOT)
    assert ended.returncode == 0, ended.stdout
