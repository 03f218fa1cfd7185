"""A field app in TypeScript with types generated from the document: it narrows rightly, or does not compile."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import orjson
import pytest

from tests.api.serving import Server
from tests.clients.dropping import STALLED, dropping
from tests.clients.making import TYPESCRIPT, VALIDATING, compile_typescript, only_where_wanted, run

pytestmark = [only_where_wanted, pytest.mark.slow]
PACKAGES = pytest.mark.parametrize("packages_of", [TYPESCRIPT, VALIDATING / "zod"], ids=lambda folder: folder.name)


@pytest.fixture(scope="module")
def built(workshop: Path) -> Path:
    """Compile the app, and the file of what must not compile, strictly."""
    for name in ("field-app.ts", "narrowing.ts"):
        shutil.copy(TYPESCRIPT / name, workshop)
    compile_typescript(workshop)
    return workshop


def lines_of(built: Path, address: str, *patience_ms: str) -> list[dict[str, Any]]:
    """Run the app, and give what it saw."""
    printed = run("node", "built/field-app.js", address, *patience_ms, folder=built)
    return [orjson.loads(line) for line in printed.splitlines()]


@pytest.fixture(scope="module")
def seen(built: Path, address: str) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for one in lines_of(built, address)}


def test_wrong_narrowing_does_not_compile(workshop: Path, built: Path) -> None:  # noqa: ARG001 - that all else does
    lines = (TYPESCRIPT / "narrowing.ts").read_text().splitlines(keepends=True)
    bare = "".join(line for line in lines if not line.lstrip().startswith("// @ts-expect-error"))
    (workshop / "narrowing.ts").write_text(bare)
    try:
        with pytest.raises(AssertionError) as failed:
            compile_typescript(workshop)
    finally:
        shutil.copy(TYPESCRIPT / "narrowing.ts", workshop)
    assert str(failed.value).count("narrowing.ts(") == len(lines) - len(bare.splitlines())


def test_outcomes_are_told_apart(seen: dict[str, dict[str, Any]]) -> None:
    names = ("pair", "whole", "hidden", "many", "service")
    assert [seen[name]["outcome"] for name in names] == ["options", "options", "barred", "no-connector", "refer"]
    assert seen["whole"]["told"] == "whole, with findings"
    assert seen["service"]["told"] == "scope/service-conductors"


def test_remedies_are_told_apart(seen: dict[str, dict[str, Any]]) -> None:
    assert seen["hidden"]["told"].startswith('alter [{"op":"replace","path":"/place/reach","value":"accessible"}] for ')
    assert seen["many"]["told"] == "split into 3 with 2 jumpers"


def test_bad_question_is_told_with_its_pointers(seen: dict[str, dict[str, Any]]) -> None:
    assert seen["wrong"]["status"] == 422
    pointers = [error["pointer"] for error in seen["wrong"]["errors"]]
    assert pointers == ["/joint/conductors/0/count", "/joint/conductors/0/size"]


def test_verdicts_are_told_apart(seen: dict[str, dict[str, Any]]) -> None:
    names = ("all said", "too long", "little said")
    assert [seen[name]["verdict"] for name in names] == ["sound", "unsound", "unproven"]
    assert "/proposal/strip" in seen["too long"]["told"]
    assert "/proposal/tugged" in seen["little said"]["told"]


def test_words_and_jobs_are_read(seen: dict[str, dict[str, Any]]) -> None:
    assert seen["words"]["words"] == ["dry", "damp", "wet", "buried", "submerged"]
    assert seen["job"]["made"] == 3
    assert seen["job"]["problems"] == ["/joints/1 access/box-stays-within-reach"]


def test_dropped_connections_change_no_answer(server: Server, built: Path, seen: dict[str, dict[str, Any]]) -> None:
    # One breaks before a byte of its answer came, one within its head, one within its body; one says nothing at all.
    with dropping(server.port, cut=(0, 40, 700, STALLED)) as port:
        lines = lines_of(built, f"http://127.0.0.1:{port}", "4000")
    assert [line["dropped"] for line in lines if "dropped" in line] == [1, 2, 3, 4]
    assert {line["name"]: line for line in lines if "name" in line} == seen


@PACKAGES
def test_lock_names_no_registry(packages_of: Path) -> None:
    lock = orjson.loads((packages_of / "package-lock.json").read_bytes())
    packages = [package for name, package in lock["packages"].items() if name]
    assert packages
    assert all(package["integrity"].startswith("sha512-") and "resolved" not in package for package in packages)


@PACKAGES
def test_packages_are_named_by_exact_version(packages_of: Path) -> None:
    named = orjson.loads((packages_of / "package.json").read_bytes())
    versions = {**named["dependencies"], **named["devDependencies"]}
    assert all(version.replace(".", "").isdigit() for version in versions.values()), versions
