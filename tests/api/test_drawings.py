"""POST /v1/choices/drawings and /v1/boxes/drawings: joint and connector, strip lengths, room; the same in words."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree as ET

import pytest
from flask.testing import FlaskClient

from splicewright.drawing import joint_drawing, room_bar, strip_bar
from tests.api.asking import BARRED, GOOD, boathouse, new_client, post, problems
from tests.catalogue.making import catalogue, listing, ports

PATH = "/v1/choices/drawings"


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


def drawn(client: FlaskClient, question: Any, path: str = PATH) -> list[dict[str, str]]:
    response = post(client, path, question)
    assert response.status_code == 200, response.text
    found: list[dict[str, str]] = response.get_json()["drawings"]
    return found


def test_best_connector_stands_beside_the_joint_and_its_strip_length_is_a_bar(client: FlaskClient) -> None:
    best = post(client, "/v1/choices", GOOD).get_json()["options"][0]
    listing = client.get(f"/v1/catalogues/shop/{best['connector']}").get_json()["connector"]
    conductors = [{"size": "12 AWG", "count": 2, "material": "copper", "construction": "solid"}]
    length = best["strip"]
    wanted = [joint_drawing(conductors, listing), strip_bar(length, f"{length['value']} {length['unit']}")]
    assert [(one["svg"], one["text"]) for one in drawn(client, GOOD)] == [(one.svg, one.text) for one in wanted]


def test_joint_that_is_barred_is_drawn_alone(client: FlaskClient) -> None:
    (only,) = drawn(client, BARRED)
    assert ET.fromstring(only["svg"]).tag.endswith("svg")
    assert only["text"].startswith("2 x 12 AWG")


def test_each_kind_of_conductor_has_its_own_length(client: FlaskClient) -> None:
    lengths = [{"from": "14 AWG", "to": "8 AWG", "strip": "10 mm"}, {"from": "6 AWG", "to": "2 AWG", "strip": "16 mm"}]
    said = {"volts": "600 V", "degrees": "90 degC", "insulated": True, "tool": "screwdriver", "method": "set-screw"}
    takes = [ports({"count": 2, "stranded": {"from": "14 AWG", "to": "2 AWG"}})]
    shelf = catalogue(listing(id="lug", takes=takes, strip=lengths, **said))
    conductors = [{"size": of, "construction": "stranded"} for of in ("14 AWG", "6 AWG")]
    found = drawn(client, {"joint": {"conductors": conductors}, "catalogue": shelf})
    told = [one["text"].partition(". ")[0] for one in found[1:]]
    assert told == ["Strip 16 mm (6 AWG copper)", "Strip 10 mm (14 AWG copper)"]


def test_room_of_a_box_is_a_bar(client: FlaskClient) -> None:
    box = boathouse("box")
    wanted = room_bar(post(client, "/v1/boxes", box).get_json())
    (found,) = drawn(client, box, "/v1/boxes/drawings")
    assert (found["svg"], found["text"]) == (wanted.svg, wanted.text)
    assert "/wires" in problems(post(client, "/v1/boxes/drawings", {}), 422)


def test_question_that_is_none_is_refused_at_its_place(client: FlaskClient) -> None:
    assert "/joint/conductors/0/size" in problems(post(client, PATH, {"joint": {"conductors": [{}]}}), 422)
