"""The table says what was reached, and every part of the bench fills it."""

from __future__ import annotations

import itertools
import subprocess
import sys

import orjson
import pytest

from splicewright import choose
from splicewright.answering import Chooser
from splicewright.api.settings import Settings
from splicewright.question.read import read_question
from tests.bench import __main__ as command
from tests.bench import peers, plain_server
from tests.bench.client import requests
from tests.bench.over_http import REPEATED_QUESTION
from tests.bench.proc import Peak
from tests.bench.questions import distinct
from tests.bench.rules import derived_rules, multiplied
from tests.bench.server import with_constant_view
from tests.bench.sizes import SMALLEST
from tests.bench.table import Figure, Row, table

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(
    ("figure", "says"),
    [
        (Figure(20, most=True), "2.00"),
        (Figure(5, most=True), "0.50, not reached"),
        (Figure(5, most=False), "2.00"),
        (Figure(20, most=False), "0.50, not reached"),
    ],
)
def test_ratio_is_one_or_more_where_a_figure_is_reached(figure: Figure, says: str) -> None:
    assert Row("", [9, 10, 30], "s", figure).ratio == says


def test_nothing_is_less_than_any_figure() -> None:
    assert Row("", [0], "MB", Figure(1, most=True)).ratio == "inf"


def test_row_without_a_figure_is_told_against_another() -> None:
    assert Row("", [30], "s", against=("the first", Row("", [10], "s"))).ratio == "3.00 x the first"


def test_table_has_its_columns_in_line() -> None:
    rows = [Row("a", [1], "s"), Row("longer", [1000, 2000, 3000], "/s", Figure(500, most=False, words="ours"))]
    head, rule, first, second = table(rows).splitlines()
    assert {len(line) for line in (head, rule, first, second)} == {len(head)}
    assert second.split(" | ")[1:] == ["2,000 ", "1,000 to 3,000", "/s  ", "at least 500: ours", "4.00  |"]


def test_questions_are_valid_and_no_two_are_the_same() -> None:
    asked = [read_question(given).question.canonical() for given in itertools.islice(distinct(3), 100)]
    assert len(set(asked)) == 100


def test_copies_of_rules_are_as_many_as_asked_for_and_all_have_ids_of_their_own() -> None:
    rules = multiplied(4).rules
    assert len({rule.id for rule in rules}) == len(rules) == len(multiplied(1).rules) + 3 * len(derived_rules())


def test_every_part_has_its_rows_and_every_installed_peer_its_own(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(command, "QUICK", SMALLEST)
    assert command.main(["--quick"]) == 0
    printed, told = capsys.readouterr()
    assert [line.split(":")[0] for line in told.splitlines()] == list(command.PARTS)
    assert all(f"| rule and facts matched: {made.name}" in printed for made in peers.installed())
    for what in ("repeated questions, brief", "batch, brief", "HTTP, brief", "growth with rules", "stock plan"):
        assert f"| {what}" in printed


def test_view_that_returns_a_constant_has_the_size_of_the_answer() -> None:
    client = with_constant_view(Chooser(), Settings()).test_client()
    sent = {"data": REPEATED_QUESTION, "content_type": "application/json"}
    sent["headers"] = {"X-Request-Id": "the-same"}
    constant, answer = (client.post(path, **sent) for path in ("/constant", "/v1/choices?explain=brief"))
    assert constant.status_code == answer.status_code == 200
    assert constant.data == answer.data
    assert dict(constant.headers) == dict(answer.headers)


def test_plain_view_returns_as_much_and_parses_what_it_is_sent() -> None:
    constant = orjson.dumps(choose({**orjson.loads(REPEATED_QUESTION), "explain": "brief"}))
    assert len(constant) == len(Chooser().answer_json(REPEATED_QUESTION, explain="brief"))
    client = plain_server.application(constant).test_client()
    assert client.post("/constant", data=REPEATED_QUESTION).data == constant
    client.application.testing = True
    with pytest.raises(orjson.JSONDecodeError):
        client.post("/constant", data=b"{")


def test_request_says_how_long_its_body_is() -> None:
    (sent,) = requests("/there", [b"body"])
    assert sent.startswith(b"POST /there HTTP/1.1\r\n")
    assert sent.endswith(b"Content-Length: 4\r\n\r\nbody")


def test_memory_of_a_child_is_counted() -> None:
    child = "held = b'x' * 60_000_000; print(len(held), flush=True); input()"
    command_line = [sys.executable, "-c", f"import subprocess, sys; subprocess.run([sys.executable, '-c', {child!r}])"]
    with subprocess.Popen(command_line, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout
        process.stdout.readline()
        peak = Peak(process.pid)
        peak.start()
        while not peak.resident:
            pass
        peak.stop()
        process.communicate(b"\n")
    assert peak.resident > 60_000_000
    assert peak.proportional > 60_000_000
