"""The files of the image and its composition: in good order by their own checkers, and agreeing with the code."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from splicewright.api.settings import Settings, declared
from splicewright.api.waitress_channel import IDLE_S
from splicewright.version import VERSION

DOCKER = Path(__file__).parents[2] / "docker"
LOCKS = ("requirements.lock", "build.lock")
REPLICAS = ("one", "two")
_IN = {"k": 2**10, "m": 2**20, "g": 2**30}


def text(name: str) -> str:
    return (DOCKER / name).read_text(encoding="utf-8")


def services() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(text("compose.yaml"))["services"]
    return found


def project() -> dict[str, Any]:
    found: dict[str, Any] = tomllib.loads((DOCKER.parent / "pyproject.toml").read_text(encoding="utf-8"))
    return found


def lock(name: str) -> dict[str, tuple[str, list[str]]]:
    """Give the version and the hashes of each package of a lock."""
    joined = text(name).replace("\\\n", " ")
    lines = [line.split() for line in joined.splitlines() if line and not line.startswith("#")]
    return {
        one.partition("==")[0]: (one.partition("==")[2], [part for part in rest if part.startswith("--hash=sha256:")])
        for one, *rest in lines
    }


def settings(command: str) -> list[str]:
    """Give the values of a command of the proxy's configuration, in their order."""
    return re.findall(rf"^\s*{command} (.*?);", text("nginx.conf"), re.MULTILINE)


def in_bytes(size: str) -> int:
    return int(size[:-1]) * _IN[size[-1]]


def test_dockerfile_has_nothing_that_its_checker_minds() -> None:
    hadolint = Path(sys.executable).parent / "hadolint"
    ended = subprocess.run([hadolint, DOCKER / "Dockerfile"], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout


def test_composition_is_one_by_its_schema() -> None:
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.compose-spec"]
    ended = subprocess.run([*command, DOCKER / "compose.yaml"], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout


@pytest.mark.parametrize("name", LOCKS)
def test_every_package_of_a_lock_has_its_version_and_hashes(name: str) -> None:
    found = lock(name)
    assert len(found) > 5
    assert all(version and hashes for version, hashes in found.values())


@pytest.mark.parametrize("name", LOCKS)
def test_lock_names_no_place_to_fetch_from(name: str) -> None:
    assert "//" not in text(name)
    assert not re.search(r"^\s*--(index|extra-index|find|trusted)", text(name), re.MULTILINE)


def asked() -> list[Requirement]:
    found = project()["project"]
    return [Requirement(one) for one in [*found["dependencies"], *found["optional-dependencies"]["web"]]]


@pytest.mark.parametrize("requirement", asked(), ids=lambda one: one.name)
def test_lock_has_a_version_of_each_library_that_the_service_allows(requirement: Requirement) -> None:
    version, _ = lock("requirements.lock")[canonicalize_name(requirement.name)]
    assert requirement.specifier.contains(version)


def test_build_lock_has_what_the_service_is_built_with() -> None:
    for requirement in map(Requirement, project()["build-system"]["requires"]):
        version, _ = lock("build.lock")[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version)


def stages() -> list[str]:
    return text("Dockerfile").split("\nFROM ")[1:]


def test_compiler_is_in_the_build_stage_only() -> None:
    base, build, final = stages()
    assert "gcc" in build
    assert not re.search("gcc|-dev|pip", base + final)


def test_image_runs_as_a_fixed_number_that_is_not_root() -> None:
    assert re.findall(r"^USER (.+)$", stages()[-1], re.MULTILINE) == ["10001:10001"]


def test_image_is_of_this_version() -> None:
    assert f'org.opencontainers.image.version="{VERSION}"' in stages()[-1]


def test_everything_is_installed_by_hash() -> None:
    installs = re.findall(r"pip (?:--python \S+ )?(?:install|wheel)[^&]*", text("Dockerfile"))
    assert installs
    for install in installs:
        # What is not from a lock is from the wheels made of it, or the service itself.
        assert "--require-hashes" in install or "--no-index" in install or install.rstrip().endswith(" .")
        assert "--no-deps" in install


def test_image_is_made_of_named_files_only() -> None:
    first, *others = [line for line in text("Dockerfile.dockerignore").splitlines() if not line.startswith("#")]
    assert first == "*"
    copied = " ".join(re.findall(r"^COPY (?!--from)(.+) \S+$", stages()[1], re.MULTILINE)).split()
    assert {other.removeprefix("!") for other in others if other.startswith("!")} == set(copied)


@pytest.mark.parametrize("name", [*REPLICAS, "proxy"])
def test_every_container_is_held_within_bounds(name: str) -> None:
    service = services()[name]
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert service["restart"] == "unless-stopped"
    assert service["pids_limit"]
    assert service["cpus"]
    [temporary] = service["tmpfs"]
    size = re.search(r"size=(\w+)", temporary)
    assert size
    assert in_bytes(size[1]) < in_bytes(service["mem_limit"]) / 1.2  # it counts as memory


def test_only_the_proxy_can_be_reached_from_outside() -> None:
    assert [name for name, service in services().items() if "ports" in service] == ["proxy"]
    networks = yaml.safe_load(text("compose.yaml"))["networks"]
    for name in REPLICAS:
        assert [networks[network] for network in services()[name]["networks"]] == [networks["inside"]]
    assert networks["inside"]["internal"] is True


def test_proxy_knows_the_replicas_where_they_are() -> None:
    fixed = {f"{name}:{services()[name]['networks']['inside']['ipv4_address']}" for name in REPLICAS}
    assert set(services()["proxy"]["extra_hosts"]) == fixed
    assert {setting.split(":")[0] for setting in settings("server")} == set(REPLICAS)


@pytest.mark.parametrize("name", REPLICAS)
def test_settings_of_the_composition_are_settings_of_ours(name: str) -> None:
    names = {one.removeprefix("SPLICEWRIGHT_").lower() for one in services()[name]["environment"]}
    assert names <= set(declared())


@pytest.mark.parametrize("name", REPLICAS)
def test_replica_asks_for_keys_from_a_secret(name: str) -> None:
    assert services()[name]["environment"]["SPLICEWRIGHT_KEYS"] == "/run/secrets/keys"
    assert services()[name]["secrets"] == ["keys"]


@pytest.mark.parametrize("name", [*REPLICAS, "proxy"])
def test_there_is_longer_to_stop_than_requests_are_waited_for(name: str) -> None:
    assert int(services()[name]["stop_grace_period"].rstrip("s")) > Settings().patience


@pytest.mark.parametrize(
    ("location", "setting"), [("/", "max_body"), ("= /v1/jobs", "max_job"), ("= /v1/batches", "max_batch")]
)
def test_proxy_takes_bodies_as_long_as_the_service_does(location: str, setting: str) -> None:
    [usual] = re.findall(r"listen 8080;\s+client_max_body_size (\d+);", text("nginx.conf"))
    own = re.search(rf"location {location} {{\s+client_max_body_size (\d+);", text("nginx.conf"))
    assert int(own[1] if own else usual) == getattr(Settings(), setting)


def test_proxy_drops_an_idle_connection_before_the_replica_does() -> None:
    _, kept = settings("keepalive_timeout")  # the first one is for clients
    assert int(kept.partition("s")[0]) < Settings().patience + IDLE_S
