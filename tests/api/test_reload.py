"""What is on disk is taken into use whole or not at all."""

from __future__ import annotations

import hashlib
import threading
from pathlib import Path
from unittest.mock import patch

import pytest

from splicewright.answering import Chooser
from splicewright.api.app import create_app
from splicewright.api.keys import Keys
from splicewright.api.reload import NotRenewed, Renewal
from tests.api.small import small_rulesets, spoil

TOKEN = {"Authorization": "Bearer boss-key"}


@pytest.fixture
def rulesets(tmp_path: Path) -> Path:
    return small_rulesets(tmp_path / "rulesets")


@pytest.fixture
def keys(tmp_path: Path) -> Keys:
    path = tmp_path / "keys.yaml"
    path.write_text(f"keys:\n  - {{name: boss, sha256: {hashlib.sha256(b'boss-key').hexdigest()}, scopes: [admin]}}\n")
    return Keys(path)


def test_digests_in_use_are_told(rulesets: Path) -> None:
    chooser = Chooser(rulesets)
    found = Renewal(chooser, None).now()
    assert found["status"] == "reloaded"
    assert found["rulesets"]["nfpa70-2023"] == chooser.engine("nfpa70-2023").rulebook.digest
    assert found["catalogues"]["shop"] == chooser.catalogue("shop").digest


def test_reasons_are_told_to_the_caller_and_what_is_in_use_stays(rulesets: Path, keys: Keys) -> None:
    chooser = Chooser(rulesets)
    before = chooser.engine("nfpa70-2023").rulebook.digest
    spoil(rulesets)
    client = create_app(chooser, asked=keys, renew=Renewal(chooser, keys).now).test_client()
    answer = client.post("/v1/reload", headers=TOKEN)
    assert answer.status_code == 409
    assert "nfpa70/environment.yaml:" in answer.json["errors"][0]["says"]
    assert chooser.engine("nfpa70-2023").rulebook.digest == before


def test_keys_are_renewed_also_where_rules_cannot_be(rulesets: Path, keys: Keys, tmp_path: Path) -> None:
    spoil(rulesets)
    (tmp_path / "keys.yaml").write_text(f"keys:\n  - {{name: other, sha256: {'0' * 64}, scopes: [ask]}}\n")
    with pytest.raises(NotRenewed):
        Renewal(Chooser(rulesets), keys).now()
    assert keys.find("boss-key") is None


def test_what_is_asked_for_while_one_waits_is_asked_for_once() -> None:
    begun, going_on, calls = threading.Event(), threading.Event(), []

    def slow(_chooser: Chooser) -> tuple[str, ...]:
        calls.append(1)
        begun.set()
        assert going_on.wait(20)
        return ()

    others = set(threading.enumerate())
    with patch("splicewright.api.reload.reload_rules", slow):
        renewal = Renewal(Chooser(), None)
        renewal.soon()
        assert begun.wait(20)
        for _ in range(10):
            renewal.soon()
        going_on.set()
        renewal.now()  # after those that wait
        for thread in set(threading.enumerate()) - others:
            thread.join(20)
    assert 2 <= len(calls) <= 3
