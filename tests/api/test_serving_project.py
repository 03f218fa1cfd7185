"""A server belongs to a project: its settings, its shelf, what it says of questions; read anew by a reload."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.api.serving import ask, choose, serving, workers
from tests.project.projects import NAMED, project

pytestmark = pytest.mark.slow


def name(port: int) -> object:
    """Tell which catalogue a question is answered from."""
    return choose(port).json()["catalogue"]


def test_the_embedded_server_answers_from_it(tmp_path: Path) -> None:
    file = project(tmp_path, NAMED + "[service]\nmax_depth = 9\n")
    with serving(SPLICEWRIGHT_PROJECT=str(file)) as server:
        answer = choose(server.port).json()
        assert answer["catalogue"] == {"name": "our-shelf"}
        assert answer["assumed"]["/catalogue"] == {"value": "our-shelf", "from": "project"}  # type: ignore[index]
        ready = ask(server.port, "GET", "/health/ready").json()
        assert ready["catalogue"]["name"] == "our-shelf"  # type: ignore[index]
        assert ready["rulesets"]["code"] == "nfpa70-2020"  # type: ignore[index]
        deep = b"[" * 10 + b"]" * 10
        assert ask(server.port, "POST", "/v1/choices", deep).status == 400
        of_its_code = ask(server.port, "GET", "/v1/rules?code=nfpa70-2020").body
        assert ask(server.port, "GET", "/v1/rules").body == of_its_code
        form = ask(server.port, "GET", "/v1/vocabulary?call=/v1/choices").json()["forms"][0]["parts"]  # type: ignore[index]
        assumed = {part["pointer"]: part.get("assumed") for part in form}
        assert (assumed["/catalogue"], assumed["/code"]) == ("our-shelf", "nfpa70-2020")
        listed = ask(server.port, "GET", "/v1/catalogues").json()["catalogues"]
        assert [one["name"] for one in listed] == ["our-shelf", "shop"]  # type: ignore[attr-defined]


def test_every_process_of_gunicorn_answers_from_it_and_takes_up_what_it_says_now(tmp_path: Path) -> None:
    file = project(tmp_path, NAMED + "[service]\nworkers = 2\n")
    with workers(SPLICEWRIGHT_PROJECT=str(file), SPLICEWRIGHT_WORKERS="1") as server:
        assert name(server.port) == {"name": "our-shelf"}
        file.write_text(NAMED.replace("2020", "2017"))
        server.process.send_signal(signal.SIGHUP)
        server.has_logged("answers from the rules that were reloaded", 1)
        assert choose(server.port).json()["rulesets"]["code"] == "nfpa70-2017"  # type: ignore[index]
        file.write_text("code = 1")
        server.process.send_signal(signal.SIGHUP)
        server.logged(r"not reloaded, what is in use stays: .*splicewright\.toml:1: code: 1 is not a word")
        assert choose(server.port).json()["rulesets"]["code"] == "nfpa70-2017"  # type: ignore[index]
