"""Shipped YAML files are read from what they were read to when the wheel was made, and only while they are the same."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Generic, TypeVar

import orjson
import pytest

from splicewright import shipped, yaml_text
from splicewright.faults import Faults
from splicewright.json_pointer import join
from splicewright.rulebook.loader import RuleFiles
from splicewright.yaml_text import read_yaml

FILES = sorted(shipped.folder("rulesets").rglob("*.yaml"))
TEXT = b"about: text\nrules:\n  - id: one\n    when: {place: 1.50}\n  - two: true\nlast: 3\n"


@pytest.fixture
def installed(tmp_path, monkeypatch):
    """Give the data folder of an installed package with one YAML file, read already."""
    monkeypatch.setattr(shipped, "_INSTALLED", tmp_path)
    (tmp_path / shipped.READ).mkdir()
    (tmp_path / shipped.READ / shipped.written_name(TEXT)).write_bytes(shipped.written(TEXT))
    (tmp_path / "one.yaml").write_bytes(TEXT)
    return tmp_path


def pointers(value, pointer=""):
    yield pointer
    for key, one in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from pointers(one, join(pointer, key))


def test_what_was_read_already_is_not_read_again(installed, monkeypatch):
    monkeypatch.delattr(yaml_text, "read_yaml")
    monkeypatch.delattr(shipped, "read_yaml")
    found = shipped.read_data_file(installed / "one.yaml", "one")
    assert found.value == read_yaml(TEXT).value
    assert found.line("/rules/1") == 5
    assert found.column("/rules/1") == read_yaml(TEXT).column("/rules/1")


def test_every_place_is_where_it_stands_in_the_yaml(installed):
    found, right = shipped.read_data_file(installed / "one.yaml", "one"), read_yaml(TEXT)
    places = [*pointers(right.value), "/rules/7", "/none", "/rules/0/when/place/deeper"]
    assert [tuple(found.where(place)) for place in places] == [right.where(place) for place in places]


def test_a_file_that_was_changed_is_read_itself(installed):
    (installed / "one.yaml").write_bytes(TEXT.replace(b"last: 3", b"last: 4"))
    assert shipped.read_data_file(installed / "one.yaml", "one").value["last"] == 4
    (installed / "one.yaml").write_bytes(b"a: 1\na: 2\n")
    with pytest.raises(Faults, match=r"^one:2: .*stands twice"):
        shipped.read_data_file(installed / "one.yaml", "one")


def test_a_file_elsewhere_is_read_itself(installed, tmp_path_factory):
    kept = installed / shipped.READ / shipped.written_name(TEXT)
    kept.write_bytes(orjson.dumps({"value": {"about": "something else"}, "lines": {}}))
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "one.yaml"
    elsewhere.write_bytes(TEXT)
    assert shipped.read_data_file(elsewhere, "one").value == read_yaml(TEXT).value


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_shipped_file_is_the_same_once_written_and_read(path):
    content = path.read_bytes()
    found, right = orjson.loads(shipped.written(content)), read_yaml(content)
    assert repr(found["value"]) == repr(right.value)
    assert all(right.where(pointer) == tuple(place) for pointer, place in found["lines"].items())


def test_what_json_would_give_back_otherwise_is_not_written(monkeypatch):
    monkeypatch.setattr(orjson, "loads", lambda _text: {"value": {"a": 1.0}})
    with pytest.raises(ValueError, match="not the same"):
        shipped.written(b"a: 1\n")


def test_rules_are_the_same_from_what_was_written(tmp_path, monkeypatch):
    right = RuleFiles(shipped.folder("rulesets")).rulebook("nfpa70-2023")
    data = tmp_path / "data"
    for path in FILES:
        copy = data / "rulesets" / path.relative_to(shipped.folder("rulesets"))
        copy.parent.mkdir(parents=True, exist_ok=True)
        content = path.read_bytes()
        copy.write_bytes(content)
        (data / shipped.READ).mkdir(exist_ok=True)
        (data / shipped.READ / shipped.written_name(content)).write_bytes(shipped.written(content))
    monkeypatch.setattr(shipped, "_INSTALLED", data)
    read = []
    monkeypatch.setattr(yaml_text, "read_yaml", lambda content: read.append(content) or read_yaml(content))
    found = RuleFiles(data / "rulesets").rulebook("nfpa70-2023")
    assert found == right
    assert found.digest == right.digest
    assert not read


@pytest.fixture
def hook(monkeypatch):
    """Give the class that hatchling calls when it builds, which is not there without hatchling."""

    class Interface(Generic[TypeVar("Config")]):
        root = str(Path(__file__).parents[1])

    parts = ["hatchling", "builders", "hooks", "plugin", "interface"]
    for count in range(1, len(parts) + 1):
        monkeypatch.setitem(sys.modules, ".".join(parts[:count]), ModuleType(parts[count - 1]))
    sys.modules[".".join(parts)].BuildHookInterface = Interface
    spec = importlib.util.spec_from_file_location("hatch_build", Path(Interface.root) / "service" / "hatch_build.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(sys, "path", [*sys.path])
    return module.CustomBuildHook()


def test_a_wheel_is_given_what_each_file_was_read_to(hook):
    added = {}
    hook.initialize("standard", {"force_include": added})
    assert {Path(inside).name for inside in added.values()} == {
        shipped.written_name(path.read_bytes()) for path in FILES
    }
    assert all(inside.startswith("splicewright/data/read/") for inside in added.values())
    assert all(orjson.loads(Path(one).read_bytes())["value"] for one in added)
    hook.finalize("standard", {}, "")
    assert not any(Path(one).exists() for one in added)


def test_an_editable_install_is_given_nothing(hook):
    given = SimpleNamespace()  # which has no place for anything
    hook.initialize("editable", given)
    hook.finalize("editable", given, "")
