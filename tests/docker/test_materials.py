"""What the image is made of: a valid bill of materials, which has all of the lock, and a page that tells the same."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import orjson
import pytest

from tests.chosen import CHOSEN
from tests.docker.test_files import DOCKER, lock, text

PAGE = text("README.md")


def test_page_tells_every_package_of_the_image_with_its_version() -> None:
    table = PAGE.partition("| package | for | what is risky |")[2].partition("\n\n")[0]
    told = [one for line in table.splitlines()[2:] for one in line.split(" | ")[0].strip("| ").split(", ")]
    assert sorted(told) == sorted(f"{name} {version}" for name, (version, _) in lock("requirements.lock").items())


def test_page_tells_how_the_base_is_given_by_its_digest() -> None:
    [base] = re.findall(r"^ARG BASE=(.+)$", text("Dockerfile"), re.MULTILINE)
    assert f"--build-arg BASE={base}@sha256:…" in PAGE
    assert f"inspect {base} " in PAGE


@pytest.mark.slow
@pytest.mark.skipif(
    "SPLICEWRIGHT_DOCKER_TESTS" not in CHOSEN, reason="installs a package; chosen by SPLICEWRIGHT_DOCKER_TESTS=1"
)
def test_bill_of_materials_is_valid_and_has_every_package_with_its_hashes(tmp_path: Path) -> None:
    [commands] = re.findall(r"```sh\n(python3 -m venv \.venv-sbom.*?)```", PAGE, re.DOTALL)
    here = commands.replace("python3", sys.executable).replace(".venv-sbom", str(tmp_path / "venv"))
    made = tmp_path / "sbom.cdx.json"
    here = here.replace("sbom.cdx.json", f"{made} --validate")  # as it does where nobody says otherwise
    ended = subprocess.run(
        ["/bin/sh", "-ec", here], cwd=DOCKER.parent, capture_output=True, text=True, timeout=300, check=False
    )
    assert ended.returncode == 0, ended.stderr
    bill = orjson.loads(made.read_bytes())
    assert (bill["bomFormat"], bill["metadata"]["component"]["name"]) == ("CycloneDX", "splicewright")
    found = {
        one["name"]: (
            one["version"],
            sorted(hash_["content"] for place in one["externalReferences"] for hash_ in place["hashes"]),
        )
        for one in bill["components"]
    }
    wanted = {
        name: (version, sorted(one.rpartition(":")[2] for one in hashes))
        for name, (version, hashes) in lock("requirements.lock").items()
    }
    assert found == wanted
