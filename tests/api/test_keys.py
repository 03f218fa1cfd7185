"""Who may call: keys read from a file, and what each may do."""

from __future__ import annotations

import hashlib
import hmac
from pathlib import Path
from unittest.mock import patch

import pytest
from flask.testing import FlaskClient

from splicewright.api.app import create_app
from splicewright.api.keys import OPEN, Keys, new_key
from splicewright.api.settings import Settings
from splicewright.faults import Faults

QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


def entry(name: str, token: str, scopes: str = "[ask]", more: str = "") -> str:
    digest = hashlib.sha256(token.encode()).hexdigest()
    return f"  - {{name: {name}, sha256: {digest}, scopes: {scopes}{more}}}\n"


@pytest.fixture
def keys(tmp_path: Path) -> Keys:
    path = tmp_path / "keys.yaml"
    path.write_text(
        "keys:\n"
        + entry("field-app", "a-key")
        + entry("boss", "b-key", "[admin]")
        + entry("tries", "e-key", "[try]")
        + entry("old", "c-key", more=", expires: 2020-01-31")
        + entry("later", "d-key", more=", expires: 2999-12-31")
    )
    return Keys(path)


@pytest.fixture
def client(keys: Keys) -> FlaskClient:
    return create_app(
        settings=Settings(rate="1000/second"), asked=keys, renew=lambda: {"status": "reloaded"}
    ).test_client()


def bearer(token: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {token}"}


@pytest.mark.parametrize("token", ["a-key", "d-key"])
def test_key_lets_in(client: FlaskClient, token: str) -> None:
    assert client.post("/v1/choices", json=QUESTION, headers=bearer(token)).status_code == 200


def test_trials_ask_for_a_scope_of_their_own(client: FlaskClient) -> None:
    statuses = [
        client.post("/v1/trials", json={}, headers=bearer(key)).status_code for key in ("a-key", "b-key", "e-key")
    ]
    assert statuses == [403, 403, 422]
    assert client.post("/v1/choices", json=QUESTION, headers=bearer("e-key")).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {},
        bearer(""),
        bearer("x-key"),
        bearer("A-KEY"),
        bearer("c-key"),
        bearer("a-key a-key"),
        bearer("x" * 10_000),
        bearer("\xff\xfe"),
        {"Authorization": "a-key"},
        {"Authorization": "Basic a-key"},
    ],
)
def test_without_a_key_that_holds_nobody_gets_in(client: FlaskClient, headers: dict[str, str]) -> None:
    answer = client.post("/v1/choices", json=QUESTION, headers=headers)
    assert answer.status_code == 401
    assert answer.content_type == "application/problem+json"
    assert answer.headers["WWW-Authenticate"].startswith('Bearer realm="splicewright"')
    assert answer.json["status"] == 401


def test_scope_that_is_wanting_is_named(client: FlaskClient) -> None:
    answer = client.post("/v1/choices", json=QUESTION, headers=bearer("b-key"))
    assert answer.status_code == 403
    assert "scope `ask`" in answer.json["detail"]


@pytest.mark.parametrize("path", ["/v1/reload", "/metrics"])
def test_what_is_for_the_operator_asks_for_admin(client: FlaskClient, path: str) -> None:
    method = "POST" if path == "/v1/reload" else "GET"
    assert client.open(path, method=method, headers=bearer("a-key")).status_code == 403
    assert client.open(path, method=method, headers=bearer("b-key")).status_code == 200


@pytest.mark.parametrize("path", ["/", "/page/ask.js", "/health/live", "/health/ready", "/openapi.json", "/docs"])
def test_health_and_description_need_no_key(client: FlaskClient, path: str) -> None:
    assert client.get(path).status_code == 200


def test_open_path_that_is_asked_by_another_method_needs_none_to_say_so(client: FlaskClient) -> None:
    assert client.post("/health/live").status_code == 405
    assert client.post("/v1/rules").status_code == 401


@pytest.mark.parametrize(
    "path",
    [
        "/v1/rules",
        "/v1/vocabulary",
        "/v1/catalogues/shop",
        "/metrics",
        "/v1/nothing",
        "/page",
        "/docs/../v1/rules",
    ],
)
def test_everything_else_needs_one(client: FlaskClient, path: str) -> None:
    assert client.get(path).status_code == 401


def test_every_route_but_the_open_ones_asks_for_a_key(client: FlaskClient) -> None:
    opened = {
        "/",
        "/page/<name>",
        "/health/live",
        "/health/ready",
        "/openapi.json",
        "/docs",
        "/docs/<name>",
        "/problems",
        "/problems/<name>",
    }
    for rule in client.application.url_map.iter_rules():
        path = rule.rule.replace("<", "").replace(">", "")
        for method in (rule.methods or set()) - {"OPTIONS"}:
            status = client.open(path, method=method).status_code
            assert (status != 401) == (rule.rule in opened), rule.rule


def test_metrics_may_be_opened(keys: Keys) -> None:
    client = create_app(settings=Settings(open_metrics=True), asked=keys).test_client()
    assert client.get("/metrics").status_code == 200


def test_without_keys_nobody_is_asked_and_nothing_can_be_reloaded() -> None:
    client = create_app().test_client()
    assert client.post("/v1/choices", json=QUESTION).status_code == 200
    assert client.post("/v1/reload").status_code == 404


def test_every_key_is_compared_wherever_the_right_one_stands(keys: Keys) -> None:
    with patch("splicewright.api.keys.hmac.compare_digest", side_effect=hmac.compare_digest) as compared:
        for token in ("a-key", "d-key", "none"):
            keys.find(token)
    assert compared.call_count == 3 * 5


def test_key_that_was_taken_out_of_the_file_lets_in_no_more_after_a_reload(keys: Keys, tmp_path: Path) -> None:
    (tmp_path / "keys.yaml").write_text("keys:\n" + entry("other", "o-key"))
    keys.reload()
    assert keys.find("a-key") is None
    assert keys.find("o-key") is not None


def test_keys_in_use_stay_where_the_file_is_broken(keys: Keys, tmp_path: Path) -> None:
    (tmp_path / "keys.yaml").write_text("keys: [")
    with pytest.raises(Faults):
        keys.reload()
    assert keys.find("a-key") is not None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("keys: [\n", ":2: not YAML"),
        ("keys: []\n", ":1: keys: has 0 entries"),
        ("key: []\n", ":1: key: unknown key; did you mean 'keys'?"),
        ("keys:\n  - {name: a, sha256: abc, scopes: [ask]}\n", ":2: a: sha256: is no SHA-256 digest"),
        ("keys:\n" + entry("a", "a", "[aks]"), "did you mean 'ask'?"),
        ("keys:\n" + entry("a", "a", more=", expires: 2026-13-01"), "is not a day such as 2027-06-30"),
        ("keys:\n" + entry("a b", "a"), "may hold letters, digits, dots, dashes and underscores only"),
        ("keys:\n" + entry("a", "a") + entry("a", "b"), ":3: a: name: stands in another key too"),
        ("keys:\n" + entry("a", "a") + entry("b", "a"), ":2: a: sha256: stands in another key too"),
    ],
)
def test_fault_in_the_file_is_told_with_its_line(tmp_path: Path, text: str, says: str) -> None:
    path = tmp_path / "keys.yaml"
    path.write_text(text)
    with pytest.raises(Faults) as raised:
        Keys(path)
    assert any(says in one and one.startswith(f"{path}:") for one in map(str, raised.value.faults)), raised.value.faults


def test_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(Faults, match="No such file"):
        Keys(tmp_path / "none.yaml")


def test_new_keys_differ_and_have_the_digest_that_is_printed() -> None:
    (one, digest), (other, _) = new_key(), new_key()
    assert one != other
    assert hashlib.sha256(one.encode()).hexdigest() == digest


@pytest.mark.parametrize("guessed", ["test", "", "password"])
def test_digest_of_a_text_that_anyone_guesses_is_no_key(tmp_path: Path, guessed: str) -> None:
    path = tmp_path / "keys.yaml"
    path.write_text("keys:\n" + entry("field-app", guessed))
    with pytest.raises(Faults, match="that anyone guesses"):
        Keys(path)


def test_documentation_names_all_that_is_open_without_a_key() -> None:
    page = (Path(__file__).parents[2] / "docker/README.md").read_text()
    (line,) = [line for line in page.splitlines() if line.startswith("Without a key are ")]
    parts = {"/page/<name>", "/docs/<name>"}  # of pages that are named
    assert [path for path in sorted(OPEN - parts) if f"`{path}`" not in line] == []


def test_example_of_the_documentation_is_no_file_of_keys(tmp_path: Path) -> None:
    page = (Path(__file__).parents[2] / "docker/README.md").read_text()
    example = page.partition("```yaml\nkeys:\n")[2].partition("```")[0]
    assert "sha256: " in example
    path = tmp_path / "keys.yaml"
    path.write_text(f"keys:\n{example}")
    with pytest.raises(Faults, match="sha256"):
        Keys(path)
