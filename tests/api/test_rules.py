"""GET /v1/rules: the rules with their sources and examples."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from splicewright.question import vocabulary as v
from splicewright.rulebook import load_rulebook
from tests.api.asking import GOOD, new_client, post, problems


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


@pytest.mark.parametrize("code", v.CODES)
def test_every_rule_of_a_code_is_listed_with_its_source(client: FlaskClient, code: str) -> None:
    told = client.get(f"/v1/rules?code={code}").get_json()
    book = load_rulebook(code)
    assert [one["id"] for one in told["rules"]] == sorted(rule.id for rule in book.rules)
    assert told["rulesets"] == {"code": code, "amendments": [], "digest": book.digest}
    assert all(one["source"] for one in told["rules"])


def test_rules_can_be_narrowed_by_ruleset_effect_and_source(client: FlaskClient) -> None:
    told = client.get("/v1/rules?ruleset=grounding&effect=bar&source=page").get_json()["rules"]
    assert told
    assert all(one["id"].startswith("grounding/") and one["does"] == "bar" for one in told)
    assert all(one["source"]["obtained"] == "page" for one in told)


def test_rule_is_shown_whole_with_its_examples(client: FlaskClient) -> None:
    told = client.get("/v1/rules/environment/buried-is-wet").get_json()
    assert told["id"] == "environment/buried-is-wet"
    assert told["examples"]["fires"]
    assert told["examples"]["silent"]


def test_every_rule_that_an_answer_cites_can_be_looked_up(client: FlaskClient) -> None:
    for rule, cited in post(client, "/v1/choices", GOOD).get_json()["rules"].items():
        assert client.get(f"/v1/rules/{rule}").get_json()["source"] == cited["source"]


def test_digest_is_the_one_that_answers_name(client: FlaskClient) -> None:
    asked = post(client, "/v1/choices", GOOD).get_json()["rulesets"]
    assert client.get("/v1/rules").get_json()["rulesets"] == asked


def test_rule_that_an_amendment_took_out_is_not_found_and_that_is_told(client: FlaskClient) -> None:
    answer = client.get("/v1/rules/service/clear-housing-shows-the-ends?amendments=coastal-county")
    assert answer.status_code == 404
    told = answer.get_json()["detail"]
    assert "service/clear-housing-shows-the-ends was withdrawn by coastal-county: Inspectors here open" in told
    assert ".yaml" not in told


def test_unknown_rule_is_not_found_and_the_nearest_is_named(client: FlaskClient) -> None:
    told = problems(client.get("/v1/rules/environment/buried-is-wett"), 404)
    assert "environment/buried-is-wet" in told[""]


@pytest.mark.parametrize(
    ("address", "nearest"),
    [
        ("rules/access/box-stays-within-rech", "access/box-stays-within-reach"),
        ("catalogues/shopp", "shop"),
        ("catalogues/shop/lever-2-prt", "lever-2-port"),
    ],
)
def test_what_was_meant_is_a_member_of_the_error_too(client: FlaskClient, address: str, nearest: str) -> None:
    (error,) = client.get(f"/v1/{address}").get_json()["errors"]
    assert (error["code"], error["nearest"]) == ("unknown-name", nearest)
    assert f"did you mean {nearest!r}?" in error["says"]


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("code=nfpa70-2032", "?code: "),
        ("effect=bars", "did you mean 'bar'?"),
        ("sauce=page", "?sauce: "),
        ("code=nfpa70-2023&code=nfpa70-2020", "?code: is given 2 times"),
    ],
)
def test_bad_parameter_is_refused_by_name(client: FlaskClient, query: str, says: str) -> None:
    assert says in " ".join(problems(client.get(f"/v1/rules?{query}"), 422).values())
