"""/rules: pages under an edition and amendments, as text that runs nothing, and for whoever may ask."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from splicewright.api.keys import ASK, needed_scope
from tests.api.asking import new_client


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


def test_each_link_of_the_first_page_leads_to_a_page_of_the_same_edition(client: FlaskClient) -> None:
    first = client.get("/rules?code=nfpa70-2020&amendments=coastal-county")
    assert first.content_type == "text/html; charset=utf-8"
    links = [one.replace("&amp;", "&") for one in re.findall(r'href="([^"]+)"', first.text)]
    own = [one for one in links if one.startswith("/rules/")]
    assert "/rules/coastal-county?code=nfpa70-2020&amendments=coastal-county" in own
    assert "/rules?code=nfpa70-2020" in links
    for link in [*own[:3], *links[-2:]]:
        page = client.get(link)
        assert page.status_code == 200
        assert "<h1>" in page.text


def test_without_a_word_it_is_what_questions_are_asked_by(client: FlaskClient) -> None:
    assert client.get("/rules/environment").text == client.get("/rules/environment?code=nfpa70-2023").text


def test_nothing_runs_and_nothing_frames_it(client: FlaskClient) -> None:
    page = client.get("/rules/environment")
    policy = page.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert policy.endswith("frame-ancestors 'none'")
    assert "unsafe" not in policy
    assert "<script" not in page.text


@pytest.mark.parametrize(
    ("path", "status", "says"),
    [
        ("/rules/enviroment", 404, "environment"),
        ("/rules?code=nfpa70-2022", 422, "nfpa70-2023"),
        ("/rules?amendments=coastal", 422, "coastal-county"),
        ("/rules/environment?kode=nfpa70-2023", 422, "code"),
        ("/rules/coastal-county", 404, "no ruleset"),
        ("/rules/%3Cscript%3E", 404, "no ruleset"),
    ],
)
def test_what_is_not_there_is_told_with_what_is(client: FlaskClient, path: str, status: int, says: str) -> None:
    told = client.get(path)
    assert told.status_code == status
    assert told.content_type == "application/problem+json"
    assert says in told.text


def test_they_ask_for_the_same_key_as_the_rules_themselves() -> None:
    assert needed_scope("/rules") == needed_scope("/rules/<ruleset>") == needed_scope("/v1/rules") == ASK
