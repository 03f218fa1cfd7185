"""GET /v1/catalogues: connectors with their listings."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from splicewright.catalogue import load_catalogue
from tests.api.asking import GOOD, new_client, post, problems


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def test_catalogues_are_listed_with_their_digests(client: FlaskClient) -> None:
    (shop,) = client.get("/v1/catalogues").get_json()["catalogues"]
    assert (shop["name"], shop["digest"]) == ("shop", load_catalogue("shop").digest)


def test_catalogue_has_every_connector_with_its_listing(client: FlaskClient) -> None:
    told = client.get("/v1/catalogues/shop").get_json()
    assert told["connectors"] == [connector.to_dict() for connector in load_catalogue("shop").connectors]
    assert all(connector["takes"] for connector in told["connectors"])


def test_one_connector_is_shown_as_the_catalogue_has_it(client: FlaskClient) -> None:
    shop = load_catalogue("shop")
    told = client.get("/v1/catalogues/shop/lever-3-port").get_json()
    assert told == {
        "catalogue": {"name": "shop", "demo": True, "digest": shop.digest},
        "connector": shop.connector("lever-3-port").to_dict(),
    }
    assert told["connector"]["name"] == "Lever, 3 ports"
    assert told["connector"]["volts"] == {"value": 600, "unit": "V"}


def test_connectors_can_be_narrowed_by_method(client: FlaskClient) -> None:
    told = client.get("/v1/catalogues/shop?method=lever").get_json()["connectors"]
    assert {one["method"] for one in told} == {"lever"}


def test_every_connector_that_an_answer_names_is_in_the_catalogue(client: FlaskClient) -> None:
    answer = post(client, "/v1/choices", GOOD).get_json()
    told = client.get("/v1/catalogues/shop").get_json()
    assert answer["catalogue"] == {key: told[key] for key in ("name", "demo", "digest")}
    named = {one["connector"] for one in (*answer["options"], *answer["refusals"])}
    assert named <= {connector["id"] for connector in told["connectors"]}


def test_unknown_catalogue_is_not_found_and_the_nearest_is_named(client: FlaskClient) -> None:
    assert "shop" in problems(client.get("/v1/catalogues/shopp"), 404)[""]


def test_unknown_connector_is_not_found_and_the_nearest_is_named(client: FlaskClient) -> None:
    assert "lever-3-port" in problems(client.get("/v1/catalogues/shop/lever-3-prt"), 404)[""]
    assert "shop" in problems(client.get("/v1/catalogues/shopp/lever-3-port"), 404)[""]


def test_unknown_method_is_refused(client: FlaskClient) -> None:
    assert "did you mean 'lever'?" in problems(client.get("/v1/catalogues/shop?method=levr"), 422)[""]
