"""The JSON Schema for editors takes what is read, and its file and page are as they are made."""

from __future__ import annotations

import re
from typing import Any

import jsonschema
import pytest
import yaml

from splicewright import shipped
from splicewright.catalogue import catalogue_of
from splicewright.catalogue.json_schema import catalogue_json_schema, written
from splicewright.yaml_text import read_yaml
from tests.catalogue.format import PAGE
from tests.catalogue.format import written as files
from tests.catalogue.making import catalogue
from tests.catalogue.test_checking import CAP, LUG, PLANTED, by_metal, changed

VALIDATOR = jsonschema.Draft202012Validator(catalogue_json_schema())
WHOLE: dict[str, Any] = {
    **changed(LUG, torque=None),
    "strip": [{"from": "8 AWG", "to": "2 AWG", "strip": "3/4 in"}],
    "torque": {"materials": ["copper"], "torque": "20 lbf-ft"},
    "amps": [{"from": "8 AWG", "to": "2 AWG", "amps": "90 A"}],
    "part_number": "1",
    "pack": 10,
    "price": 1.25,
    "on_hand": 4,
    "minutes": 2.5,
    "source": {"document": "carton", "where": "side", "read_on": "2026-11-30", "read_by": "storekeeper"},
    "from": {"": "connectors!5", "/volts": "connectors!F5"},
    "resists": [],
}


def valid(plain: Any) -> bool:
    return VALIDATOR.is_valid(plain)


def test_it_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(catalogue_json_schema())


def test_files_are_as_they_are_made():
    for path, text in files().items():
        assert path.read_bytes() == text, f"run python -m tests.catalogue.format: {path.name}"


@pytest.mark.parametrize(
    "path", sorted((shipped.folder("rulesets") / "catalogues").glob("*.yaml")), ids=lambda p: p.name
)
def test_shipped_catalogues_are_valid_by_it(path):
    assert list(VALIDATOR.iter_errors(read_yaml(path.read_bytes()).value)) == []


def test_every_form_is_valid_and_read():
    plain = {
        **catalogue(CAP, WHOLE, changed(CAP, id="shell", **by_metal())),
        "from": "shelf.xlsx",
        "minutes": {"twist-on": 0.5},
        "unstated": "unknown",
    }
    assert catalogue_of(plain)
    assert list(VALIDATOR.iter_errors(plain)) == []


@pytest.mark.parametrize(
    "planted", [one[:2] for one in PLANTED if one[2] == "error"][:8], ids=lambda one: str(one[1])[:40]
)
def test_what_it_refuses_is_refused_when_read(planted):
    good, more = planted
    assert not valid(catalogue(changed(good, **more)))


@pytest.mark.parametrize(
    "planted", [one[:2] for one in PLANTED if one[2] == "warning"], ids=lambda one: str(one[1])[:40]
)
def test_what_is_read_it_takes(planted):
    good, more = planted
    assert valid(catalogue(changed(good, **more)))


def test_the_example_of_the_page_is_read():
    (text,) = re.findall(r"```yaml\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    plain = yaml.load(text, Loader=yaml.BaseLoader)
    assert plain["catalogue"] == "our-shelf"
    value = read_yaml(text).value
    assert catalogue_of(value).connectors[0].id == "cap-medium"
    assert valid(value)


def test_a_field_that_is_not_known_is_an_error():
    with pytest.raises(TypeError):
        written(object())  # type: ignore[arg-type]
