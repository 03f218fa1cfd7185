"""The JSON Schemas for editors take what is read, refuse what they can, and their files are as they are made."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import jsonschema_rs
import pytest
from click.testing import CliRunner

from splicewright import shipped
from splicewright.cli.main import main
from splicewright.rulebook.effects import EFFECTS
from splicewright.rulebook.json_schema import amendment_json_schema, rules_json_schema
from splicewright.yaml_text import read_yaml
from tests.house_rule import FIRM
from tests.rulebook.format import written
from tests.rulebook.test_skeleton import filled

_RULES = jsonschema_rs.Draft202012Validator(rules_json_schema())
_AMENDMENT = jsonschema_rs.Draft202012Validator(amendment_json_schema())
_FOLDER = shipped.folder("rulesets")


def read(path: Path) -> Any:
    value: Any = shipped.read_data_file(path, path.name).value
    return value


def test_they_are_schemas() -> None:
    for schema in (rules_json_schema(), amendment_json_schema()):
        jsonschema.Draft202012Validator.check_schema(schema)


def test_files_are_as_they_are_made() -> None:
    for path, text in written().items():
        assert path.read_bytes() == text, f"run python -m tests.rulebook.format: {path.name}"


def test_each_shipped_file_is_taken() -> None:
    files = [path for folder in ("practice", "nfpa70") for path in (_FOLDER / folder).glob("*.yaml")]
    assert len(files) > 30
    assert [path.name for path in files if not _RULES.is_valid(read(path))] == []
    amendments = list((_FOLDER / "amendments").glob("*.yaml"))
    assert [path.name for path in amendments if not _AMENDMENT.is_valid(read(path))] == []


@pytest.mark.parametrize("does", EFFECTS)
def test_each_beginning_of_an_amendment_is_taken(does: str) -> None:
    assert list(_AMENDMENT.iter_errors(read_yaml(filled(does)).value)) == []


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ("about:", "abuot:"),
        ("every-code", "nfpa70-2022"),
        ("kitchen}}}]", "Kitchen}}}]"),
        ("tags: {includes", "tagz: {includes"),
        ("{joint: {tags: {includes: kitchen}}}", "{place: {exposure: soaked}}"),
        ("{joint: {tags: {includes: kitchen}}}", "{joint: {count: {atleast: 2}}}"),
        ("{joint: {tags: {includes: kitchen}}}", "{joint: {count: two}}"),
        ("[{joint: {tags: {includes: kitchen}}}]", "{joint: {tags: {includes: kitchen}}}"),
        ("{method: push-in}", "{method: pushin}"),
        ("bar: {method: push-in}", "demand: {places: wet}"),
        ("bar: {method: push-in}", "prefer: {very: {reusable: true}}"),
        ("bar: {method: push-in}", "bar: joint\n    caution: true"),
        ("    bar: {method: push-in}\n", ""),
        ("common-practice", "our own"),
        ("fires: [{joint", "fires: [{joints"),
        ("tags: [kitchen]}}], silent", "tags: [kitchen], kind: x}}], silent"),
    ],
)
def test_what_is_mistaken_is_not_taken(written: str, instead: str) -> None:
    assert _AMENDMENT.is_valid(read_yaml(FIRM).value)
    text = FIRM.replace(written, instead)
    assert text != FIRM
    assert not _AMENDMENT.is_valid(read_yaml(text).value)


def test_the_command_writes_them() -> None:
    ran = CliRunner().invoke(main, ["rules", "schema"])
    assert json.loads(ran.stdout) == amendment_json_schema()
    assert json.loads(CliRunner().invoke(main, ["rules", "schema", "rules"]).stdout) == rules_json_schema()
