"""Log lines: parseable, and not to be forged."""

from __future__ import annotations

import io
import json
import logging
from collections.abc import Iterator

import pytest

from splicewright.api import logs
from splicewright.api.settings import Settings

FORGED = 'x\n{"level":"INFO"}\r\x1b[2J\u2028y'


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    root = logging.getLogger()
    before, level = root.handlers[:], root.level
    yield
    root.handlers[:] = before
    root.setLevel(level)


def logged(log_format: str, level: str = "info") -> io.StringIO:
    stream = io.StringIO()
    logs.configure(Settings(log_format=log_format, log_level=level), stream)
    return stream


def only(stream: io.StringIO) -> dict[str, object]:
    (line,) = stream.getvalue().removesuffix("\n").split("\n")
    found: dict[str, object] = json.loads(line)
    return found


def test_json_line_has_the_parts_of_a_request_beside_its_message() -> None:
    stream = logged("json")
    logging.getLogger("a").info("request", extra={"request": {"status": 200, "path": "/v1/choices"}})
    found = json.loads(stream.getvalue())
    assert (found["level"], found["logger"], found["message"]) == ("INFO", "a", "request")
    assert (found["status"], found["path"]) == (200, "/v1/choices")
    assert "request" not in found


@pytest.mark.parametrize("log_format", ["json", "text"])
def test_strangers_text_makes_no_line_of_its_own(log_format: str) -> None:
    stream = logged(log_format)
    logging.getLogger("a").warning("asked for %s", FORGED)
    text = stream.getvalue()
    assert text.count("\n") == 1
    assert text.endswith("\n")
    assert not {"\r", "\x1b"} & set(text)


def test_text_line_reads_as_a_sentence() -> None:
    stream = logged("text")
    logging.getLogger("a").info("request", extra={"request": {"method": "GET", "status": 200, "key": None, "ms": 1.5}})
    assert stream.getvalue().endswith(" INFO    GET 200 1.5\n")


def test_format_is_json_where_nobody_looks_on() -> None:
    stream = logged("auto")
    logging.getLogger("a").info("x")
    assert json.loads(stream.getvalue())["message"] == "x"


def test_only_what_is_grave_enough_is_logged() -> None:
    stream = logged("json", "warning")
    logging.getLogger("a").info("x")
    logging.getLogger("a").warning("y")
    assert [json.loads(line)["message"] for line in stream.getvalue().splitlines()] == ["y"]


def test_exception_stands_on_its_own_json_line() -> None:
    stream = logged("json")
    logging.getLogger("a").error("failed", exc_info=ValueError(FORGED))
    assert "ValueError" in only(stream)["exc_info"]
