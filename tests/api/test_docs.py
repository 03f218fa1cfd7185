"""/openapi.json and /docs: the document, and the page on which a call can be tried."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from splicewright.api import docs
from tests.api.asking import new_client

PAGE = Path(docs.__file__).parent / "page"


@pytest.fixture
def client() -> FlaskClient:
    return new_client()


def test_page_loads_scripts_and_styles_from_this_server_only(client: FlaskClient) -> None:
    page = client.get("/docs").text
    loaded = re.findall(r'(?:src|href)="([^"]+)"', page)
    assert loaded
    assert all(client.get(one if one.startswith("/") else f"/{one}").status_code == 200 for one in loaded)
    assert "<script>" not in page
    assert "style=" not in page


def test_policy_allows_this_server_only(client: FlaskClient) -> None:
    policy = client.get("/docs").headers["Content-Security-Policy"]
    parts = dict(one.strip().split(" ", 1) for one in policy.split(";"))
    assert parts["default-src"] == "'none'"
    assert parts["script-src"] == "'self'"
    assert parts["connect-src"] == "'self'"
    assert parts["frame-ancestors"] == "'none'"
    assert "http" not in policy


def test_page_asks_no_outside_validator() -> None:
    assert "validatorUrl: null" in (PAGE / "page.js").read_text("utf-8")


def test_licences_lie_beside_what_is_not_ours() -> None:
    assert "Apache License" in (PAGE / "LICENSE").read_text("utf-8")
    assert (PAGE / "swagger-ui-bundle.js.LICENSE.txt").stat().st_size > 1_000


def test_changes_of_the_contract_are_given_beside_the_page(client: FlaskClient) -> None:
    assert 'href="docs/CHANGES.md"' in client.get("/docs").text
    changes = client.get("/docs/CHANGES.md")
    assert changes.content_type == "text/plain; charset=utf-8"
    assert changes.text.startswith("# Changes of the contract")
    assert client.get("/docs/README.md").status_code == 404
