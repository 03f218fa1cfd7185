from __future__ import annotations

import logging
from importlib.metadata import version
from pathlib import Path

import pytest

from splicewright.answering import Chooser
from splicewright.api.app import create_app
from splicewright.api.openapi import document


def test_process_that_runs_is_live() -> None:
    assert create_app().test_client().get("/health/live").json == {"status": "live"}


def test_ready_tells_which_rules_and_catalogue() -> None:
    chooser = Chooser()
    found = create_app(chooser).test_client().get("/health/ready").json
    assert found["rulesets"] == {"code": "nfpa70-2023", "digest": chooser.engine("nfpa70-2023").rulebook.digest}
    assert (found["version"], found["contract"]) == (version("splicewright"), document()["info"]["version"])
    assert found["catalogue"] == {"name": "shop", "digest": chooser.catalogue("shop").digest, "demo": True}


def test_without_rules_it_is_live_and_not_ready(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    client = create_app(Chooser(tmp_path)).test_client()
    with caplog.at_level(logging.ERROR):
        answer = client.get("/health/ready")
    assert answer.status_code == 503
    assert answer.content_type == "application/problem+json"
    assert client.get("/health/live").status_code == 200
    assert "not ready" in caplog.text
