"""What is on disk is taken into use whole or not at all, one renewal at a time, also where one process is alone."""

from __future__ import annotations

import hashlib
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import Any
from unittest.mock import patch

import pytest
from flask.testing import FlaskClient

from splicewright.api.renewals import Renewals
from splicewright.api.settings import Settings
from splicewright.faults import Faults
from splicewright.operate.reloading import NotProven
from tests.api.small import change, small_rulesets, spoil

TOKEN = {"Authorization": "Bearer boss-key"}
QUESTION = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}, "include": ["digests"]}
LIMIT_S = 20


def written(path: Path, text: str) -> Path:
    digest = hashlib.sha256(text.encode()).hexdigest()
    path.write_text(f"keys:\n  - {{name: boss, sha256: {digest}, scopes: [admin, ask]}}\n")
    return path


@pytest.fixture
def rulesets(tmp_path: Path) -> Path:
    return small_rulesets(tmp_path / "rulesets")


@pytest.fixture
def keys(tmp_path: Path) -> Path:
    return written(tmp_path / "keys.yaml", "boss-key")


@pytest.fixture
def renewals(rulesets: Path, keys: Path) -> Iterator[Renewals]:
    found = Renewals(Settings(rulesets=str(rulesets), keys=str(keys)))
    before = signal.signal(signal.SIGHUP, lambda *_: found.soon())
    found.start()
    yield found
    found.stop()
    signal.signal(signal.SIGHUP, before)


@pytest.fixture
def client(renewals: Renewals) -> FlaskClient:
    return renewals.application().test_client()


def digest(client: FlaskClient) -> str:
    return str(client.post("/v1/choices", json=QUESTION, headers=TOKEN).json["rulesets"]["digest"])


def test_changed_rules_are_in_use_when_the_call_is_answered(client: FlaskClient, rulesets: Path) -> None:
    before = digest(client)
    change(rulesets)
    answer = client.post("/v1/reload", headers=TOKEN).json
    assert answer["status"] == "reloaded"
    assert answer["rulesets"]["nfpa70-2023"] == digest(client) != before
    assert "shop" in answer["catalogues"]


def test_reasons_are_told_to_the_caller_and_what_is_in_use_stays_but_the_keys(
    client: FlaskClient, rulesets: Path, keys: Path
) -> None:
    before = digest(client)
    spoil(rulesets)
    answer = client.post("/v1/reload", headers=TOKEN)
    assert answer.status_code == 409
    assert "nfpa70/environment.yaml:" in answer.json["errors"][0]["says"]
    assert digest(client) == before
    written(keys, "other-key")
    assert client.post("/v1/reload", headers=TOKEN).status_code == 409
    assert client.post("/v1/choices", json=QUESTION, headers=TOKEN).status_code == 401


def test_what_is_asked_for_while_one_waits_is_asked_for_once_and_never_two_at_once(renewals: Renewals) -> None:
    begun, going_on, at_once, calls = threading.Event(), threading.Event(), threading.Lock(), []

    def slow(*, prove: bool) -> None:
        assert prove
        assert at_once.acquire(blocking=False)
        calls.append(1)
        begun.set()
        assert going_on.wait(LIMIT_S)
        at_once.release()

    others = set(threading.enumerate())
    with patch.object(renewals, "_copy_rules", slow):
        renewals.soon()
        assert begun.wait(LIMIT_S)
        for _ in range(10):
            renewals.soon()
        going_on.set()
        for thread in set(threading.enumerate()) - others:
            thread.join(LIMIT_S)
    assert len(calls) == 2


@pytest.mark.parametrize("at", range(12))
def test_signal_may_come_while_one_is_handled(at: int) -> None:
    renewals, lines = Renewals(Settings()), iter(range(1_000))

    def interrupted(_: FrameType, event: str, __: object) -> Callable[..., Any]:
        if event == "line" and next(lines) == at:
            renewals.soon()
        return interrupted

    def handle() -> None:
        sys.settrace(interrupted)  # of what is called, one line after the other
        renewals.soon()

    with patch.object(renewals, "renew", lambda: None):
        handling = threading.Thread(target=handle, daemon=True)
        handling.start()
        handling.join(LIMIT_S)
    assert not handling.is_alive()


def test_nothing_is_kept_where_the_start_fails(rulesets: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "here"))
    (tmp_path / "here").mkdir()
    with pytest.raises(Faults, match=r"keys\.yaml"):
        Renewals(Settings(keys=str(tmp_path / "keys.yaml"))).start()
    spoil(rulesets)
    with pytest.raises(NotProven):
        Renewals(Settings(rulesets=str(rulesets))).start()
    assert not list((tmp_path / "here").iterdir())
