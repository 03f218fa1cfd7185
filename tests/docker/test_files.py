"""The files of the image and its composition: in good order by their own checkers, and agreeing with the code."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml

from splicewright.api.settings import Settings, declared
from tests.chosen import CHOSEN

DOCKER = Path(__file__).parents[2] / "docker"
checkers = pytest.mark.skipif("SPLICEWRIGHT_DOCKER_TESTS" not in CHOSEN, reason="chosen by SPLICEWRIGHT_DOCKER_TESTS=1")


def lock(name: str) -> dict[str, list[str]]:
    """Give the hashes of each package of a lock."""
    text = (DOCKER / name).read_text(encoding="utf-8").replace("\\\n", " ")
    lines = [line.split() for line in text.splitlines() if line and not line.startswith("#")]
    return {
        line[0].partition("==")[0]: [part for part in line[1:] if part.startswith("--hash=sha256:")] for line in lines
    }


@checkers
def test_dockerfile_has_nothing_that_its_checker_minds() -> None:
    hadolint = Path(sys.executable).parent / "hadolint"
    ended = subprocess.run([hadolint, DOCKER / "Dockerfile"], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout


@checkers
def test_composition_is_one_by_its_schema() -> None:
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.compose-spec"]
    ended = subprocess.run([*command, DOCKER / "compose.yaml"], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout


@pytest.mark.parametrize("name", ["requirements.lock", "build.lock"])
def test_every_package_of_a_lock_has_its_version_and_hashes(name: str) -> None:
    found = lock(name)
    assert len(found) > 5
    assert all(hashes for hashes in found.values())


def test_lock_names_no_place_to_fetch_from() -> None:
    for name in ("requirements.lock", "build.lock"):
        text = (DOCKER / name).read_text(encoding="utf-8")
        assert "//" not in text
        assert "-index" not in text


def test_lock_has_every_library_that_the_service_asks_for() -> None:
    project = tomllib.loads((DOCKER.parent / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"], *project["optional-dependencies"]["web"]]
    names = {re.split(r"[<>=!~\[; ]", one)[0].lower() for one in asked}
    assert names <= set(lock("requirements.lock"))


def test_settings_of_the_composition_are_settings_of_ours() -> None:
    services = yaml.safe_load((DOCKER / "compose.yaml").read_text(encoding="utf-8"))["services"]
    for service in ("one", "two"):
        names = {name.removeprefix("SPLICEWRIGHT_").lower() for name in services[service]["environment"]}
        assert names <= set(declared())


def test_replicas_have_longer_to_stop_than_requests_are_waited_for() -> None:
    services = yaml.safe_load((DOCKER / "compose.yaml").read_text(encoding="utf-8"))["services"]
    assert all(int(services[name]["stop_grace_period"].rstrip("s")) > Settings().patience for name in ("one", "two"))


def test_proxy_takes_bodies_as_long_as_the_service_does() -> None:
    text = (DOCKER / "nginx.conf").read_text(encoding="utf-8")
    sizes = [int(size) for size in re.findall(r"client_max_body_size (\d+);", text)]
    assert sizes == [Settings().max_body, Settings().max_job, Settings().max_batch]


def test_image_runs_as_nobody_and_has_no_compiler() -> None:
    stages = (DOCKER / "Dockerfile").read_text(encoding="utf-8").split("\nFROM ")
    assert "gcc" not in stages[1] + stages[-1]
    assert "gcc" in stages[2]
    assert re.search(r"^USER \d+:\d+$", stages[-1], re.MULTILINE)
