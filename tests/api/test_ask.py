"""The page to ask on: what is served, under which policy; what is on it comes from the service alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from splicewright.answering.finding_json import ALWAYS
from splicewright.api import ask
from splicewright.forms import forms
from tests.api.asking import new_client

FILES = sorted(path for path in (Path(ask.__file__).parent / "ask_page").iterdir())
SCRIPTS = [path for path in FILES if path.suffix == ".js"]
TYPES = {".html": "text/html", ".js": "text/javascript", ".css": "text/css"}


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client(compress_from=0)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_file_is_given_as_it_stands_with_its_type(client: FlaskClient, path: Path) -> None:
    response = client.get(f"/page/{path.name}")
    assert response.data == path.read_bytes()
    assert response.content_type == f"{TYPES[path.suffix]}; charset=utf-8"
    assert response.headers["X-Content-Type-Options"] == "nosniff"


def test_page_is_its_first_file(client: FlaskClient) -> None:
    assert client.get("/").data == client.get("/page/index.html").data


@pytest.mark.parametrize("name", ["nothing.js", "..%2Fask.py", "ask.py", ""])
def test_nothing_else_is_given(client: FlaskClient, name: str) -> None:
    assert client.get(f"/page/{name}").status_code == 404


@pytest.mark.parametrize("path", ["/", "/page/ask.js"])
def test_policy_lets_in_files_of_this_service_only(client: FlaskClient, path: str) -> None:
    policy = client.get(path).headers["Content-Security-Policy"]
    parts = dict(one.strip().split(" ", 1) for one in policy.split(";"))
    assert parts == {
        "default-src": "'none'",
        "script-src": "'self'",
        "style-src": "'self'",
        "connect-src": "'self'",
        "img-src": "'self' data:",
        "form-action": "'none'",
        "base-uri": "'none'",
        "frame-ancestors": "'none'",
    }


def test_nothing_on_the_page_is_loaded_from_elsewhere(client: FlaskClient) -> None:
    page = client.get("/").text
    loaded = re.findall(r'(?:src|href)="([^"]+)"', page)
    assert all(client.get(f"/{one}").status_code == 200 for one in loaded)
    assert not re.search(r"<script>|<style|style=|\son\w+=", page)
    for path in SCRIPTS:
        text = path.read_text("utf-8")
        assert "://" not in text
        names = re.findall(r'from "\./([^"]+)"', text)
        assert all(client.get(f"/page/{name}").status_code == 200 for name in names)


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_what_the_service_says_is_put_in_as_text(path: Path) -> None:
    text = path.read_text("utf-8")
    unsafe = r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|Function\(|\.style\b|localStorage"
    assert not re.search(unsafe, text)


def test_page_ends_with_what_every_answer_says(client: FlaskClient) -> None:
    assert ALWAYS in client.get("/").text


def test_what_stands_in_sight_are_parts_of_the_forms() -> None:
    text = (FILES[0].parent / "form.js").read_text("utf-8")
    first = re.findall(r'"(/[a-z_/*]+)"', text.partition("new Set([")[2].partition("]);")[0])
    known = {part.pointer for form in forms() for part in form.parts}
    assert first
    assert [pointer for pointer in first if pointer not in known] == []


def test_files_are_read_once(monkeypatch: pytest.MonkeyPatch, client: FlaskClient) -> None:
    client.get("/")
    monkeypatch.setattr(ask, "_FOLDER", Path("/nowhere"))
    tag = client.get("/").headers["ETag"]
    assert client.get("/", headers={"If-None-Match": tag}).status_code == 304
