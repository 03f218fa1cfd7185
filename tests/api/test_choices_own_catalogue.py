"""A catalogue inline over HTTP: as long as a body may be, told like one of the server, refused with pointers."""

from __future__ import annotations

from typing import Any

import orjson
import pytest
from flask.testing import FlaskClient

from splicewright.catalogue import catalogue_of, load_catalogue
from splicewright.shipped import folder
from splicewright.yaml_text import read_yaml
from tests.api.asking import GOOD, NDJSON, new_client, post
from tests.catalogue.making import catalogue, combinations, listing

SHELF = catalogue(listing(id="shell", takes=[combinations({"12 AWG": "2 to 4"})], volts="600 V", degrees="90 degC"))
OWN: dict[str, Any] = {**GOOD, "catalogue": SHELF}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


def test_a_question_with_its_own_catalogue_is_answered_from_it(client: FlaskClient) -> None:
    answer = post(client, "/v1/choices", OWN).get_json()
    assert [one["connector"] for one in answer["options"]] == ["shell"]
    assert answer["catalogue"] == {"name": "trial", "digest": catalogue_of(SHELF).digest}


def test_all_of_the_shop_may_be_sent(client: FlaskClient) -> None:
    whole = read_yaml((folder("rulesets") / "catalogues" / "shop.yaml").read_bytes()).value
    response = post(client, "/v1/choices", {**GOOD, "catalogue": whole})
    assert response.status_code == 200, response.get_json()
    assert response.get_json()["catalogue"]["digest"] == load_catalogue("shop").digest


@pytest.mark.parametrize("path", ["/v1/choices", "/v1/checks", "/v1/boxes", "/v1/jobs"])
def test_what_is_wrong_in_it_has_its_pointer(client: FlaskClient, path: str) -> None:
    response = post(client, path, {**OWN, "catalogue": catalogue(listing(volts="600 W"))})
    assert response.status_code in (400, 422)
    assert [one["pointer"] for one in response.get_json()["errors"]] == ["/catalogue/connectors/0/volts"]


def test_lines_of_a_batch_may_bring_their_own(client: FlaskClient) -> None:
    text = orjson.dumps(OWN) + b"\n" + orjson.dumps({**OWN, "catalogue": 5}) + b"\n" + orjson.dumps(GOOD) + b"\n"
    lines = [orjson.loads(line) for line in post(client, "/v1/batches", text, NDJSON).data.splitlines()][:3]
    assert [one["outcome"] for one in lines] == ["options", "error", "options"]
    assert [one.get("catalogue", {}).get("name") for one in lines] == ["trial", None, "shop"]
    listed = post(client, "/v1/batches", [OWN, GOOD]).get_json()
    assert [one["catalogue"]["name"] for one in listed] == ["trial", "shop"]
