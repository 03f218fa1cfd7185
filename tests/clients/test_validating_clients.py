"""The same questions through clients of three more generators: each answer is taken whole by what was generated."""

from __future__ import annotations

import copy
import os
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import orjson
import pytest

from tests.api.serving import Server, choose
from tests.clients import making

pytestmark = [making.only_where_wanted, pytest.mark.slow]

SEEN: dict[str, dict[str, Any]] = {
    "brief": {"best": "push-in-2-port", "demands": False},
    "included": {"demands": True, "first": "make-safe"},
    "barred": {
        "rule": "access/box-stays-within-reach",
        "patch": [{"op": "replace", "path": "/place/reach", "value": "accessible"}],
        "best": "push-in-2-port",
        "as_told": True,
    },
    "check": {"at": ["/proposal/strip"], "asks": ["/proposal/pre_twisted"]},
    "box": {"fits": True, "required": 12, "joints": ["options", "error"]},  # 314.16(B): 2.00 in3 for each 14 AWG
    "job": {"takeoff": [["lever-3-port", 6]], "made": 6, "problems": ["barred"]},
    "batch": {"told": ["options", "unsound", "error"]},
    "refused": {"status": 422, "code": "not-valid", "errors": [["/catalogue", "unknown-name"]]},
}


@dataclass(frozen=True)
class Client:
    """A program that asks through a generated client."""

    make: Callable[[Path, Path], None]
    program: tuple[str, ...]


CLIENTS = {
    "datamodel-codegen": Client(
        making.make_pydantic_models, (sys.executable, str(making.VALIDATING / "pydantic_models.py"))
    ),
    "openapi-generator": Client(
        making.make_pydantic_package, (sys.executable, str(making.VALIDATING / "openapi_package.py"))
    ),
    "openapi-ts": Client(making.make_validating_calls, ("node", "built/scenario.js")),
}

Ask = Callable[[int], subprocess.CompletedProcess[str]]


@pytest.fixture(scope="module")
def example_answers(document: Path) -> list[tuple[str, Any]]:
    """Give each answer that the document shows, errors too, behind the name of its schema."""
    told = orjson.loads(document.read_bytes())
    good = [way["responses"]["200"] for ways in told["paths"].values() for way in ways.values()]
    answers = (*good, *told["components"]["responses"].values())
    found = [
        (content["schema"]["$ref"].rpartition("/")[2], example["value"])
        for answer in answers
        for content in answer["content"].values()
        if "$ref" in content["schema"]
        for example in content.get("examples", {}).values()
    ]
    assert len(found) > 30
    return found


@pytest.fixture(scope="module", params=CLIENTS)
def program(
    request: pytest.FixtureRequest,
    document: Path,
    example_answers: list[tuple[str, Any]],
    tmp_path_factory: pytest.TempPathFactory,
) -> Ask:
    """Generate a client, and give what runs its program against the server at a port."""
    client = CLIENTS[request.param]
    folder = tmp_path_factory.mktemp("generated")
    (folder / "examples.json").write_bytes(orjson.dumps(example_answers))
    client.make(document, folder)
    environment = {"PATH": os.environ["PATH"], "PYTHONPATH": str(folder)}

    def asked(port: int) -> subprocess.CompletedProcess[str]:
        command = (*client.program, f"http://127.0.0.1:{port}")
        return subprocess.run(
            command, cwd=folder, env=environment, capture_output=True, text=True, timeout=120, check=False
        )

    return asked


def lost(told: Any, taken: Any, pointer: str = "") -> Iterator[str]:
    """Give the places of what is told and was not taken; taken beside it may be defaults of an included question."""
    if isinstance(told, dict) and isinstance(taken, dict):
        for key, part in told.items():
            yield from lost(part, taken[key], f"{pointer}/{key}") if key in taken else [f"{pointer}/{key}"]
    elif isinstance(told, list) and isinstance(taken, list) and len(told) == len(taken):
        for at, (part, of_it) in enumerate(zip(told, taken, strict=True)):
            yield from lost(part, of_it, f"{pointer}/{at}")
    elif told != taken:
        yield pointer


def test_each_answer_is_taken_whole(program: Ask, server: Server, example_answers: list[tuple[str, Any]]) -> None:
    ended = program(server.port)
    assert ended.returncode == 0, ended.stderr
    lines = [orjson.loads(line) for line in ended.stdout.splitlines()]
    seen = {line.pop("name"): line for line in lines}
    taken = seen.pop("examples")["taken"]
    assert seen == SEEN
    assert [*lost([value for _, value in example_answers], taken)] == []


@contextmanager
def answering(body: bytes) -> Iterator[int]:
    """Answer every call with this body, and give the port."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            self.rfile.read(int(self.headers["Content-Length"]))
            self.send_response(200)
            self.send_header("Content-Type", "application/json")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: Any) -> None: ...

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as listening:
        thread = threading.Thread(target=listening.serve_forever)
        thread.start()
        try:
            yield listening.server_port
        finally:
            listening.shutdown()
            thread.join()


def bend_outcome(answer: dict[str, Any]) -> None:
    answer["outcome"] = "dubious"


def bend_counts(answer: dict[str, Any]) -> None:
    del answer["counts"]


def bend_option(answer: dict[str, Any]) -> None:
    answer["options"][0]["rank"] = "first"


def test_answer_that_the_document_does_not_allow_is_not_taken(program: Ask, server: Server) -> None:
    right = orjson.loads(choose(server.port).body)
    with answering(orjson.dumps(right)) as port:
        first, *_ = program(port).stdout.splitlines()
    assert orjson.loads(first)["name"] == "brief"
    for bend in (bend_outcome, bend_counts, bend_option):
        bent = copy.deepcopy(right)
        bend(bent)
        with answering(orjson.dumps(bent)) as port:
            ended = program(port)
        assert (ended.returncode != 0, ended.stdout) == (True, ""), bend
