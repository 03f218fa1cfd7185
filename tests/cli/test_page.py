"""`splicewright page`: on this machine only, and it says where."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from click.testing import CliRunner, Result

from splicewright.api import server
from splicewright.api.settings import Settings
from splicewright.cli.main import main

ADDRESS = "http://127.0.0.1:8123"


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    found: list[str] = []
    monkeypatch.setattr("click.launch", found.append)
    return found


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[Settings]:
    found: list[Settings] = []

    def serve(settings: Settings, _project: Any, listening: Callable[[str], None]) -> None:
        found.append(settings)
        listening(ADDRESS)

    monkeypatch.setattr(server, "serve", serve)
    return found


def page(*options: str) -> Result:
    return CliRunner().invoke(main, ["page", *options])


def test_address_is_told_and_only_this_machine_reaches_it(served: list[Settings], opened: list[str]) -> None:
    ended = page("--port", "8123")
    assert ended.exit_code == 0
    assert f"{ADDRESS}/ (on this machine only)" in ended.output
    assert [(one.host, one.port, one.keys) for one in served] == [("127.0.0.1", 8123, None)]
    assert opened == []  # nobody sits at it


def test_it_is_opened_where_that_is_asked_for(served: list[Settings], opened: list[str]) -> None:
    assert page("--open").exit_code == 0
    assert served
    assert opened == [f"{ADDRESS}/"]


def test_port_that_is_taken_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def serve(*_: Any) -> None:
        raise OSError(98, "Address already in use")

    monkeypatch.setattr(server, "serve", serve)
    ended = page()
    assert ended.exit_code == 2
    assert "127.0.0.1:8000: Address already in use; --port 0 takes a free one" in ended.output
