"""The README is short, begins with an answer, and shows nothing that was not printed by running what it says."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from tests.api.serving import serving
from tests.clients.making import only_where_wanted
from tests.readme import LISTENS, MADE, README, ROOT, Shown, printed, shown, with_outputs

TEXT = README.read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SHOWN = [(path, one) for path in MADE for one in shown(path.read_text(encoding="utf-8"))]


def test_it_has_at_most_150_lines() -> None:
    assert len(TEXT.splitlines()) <= 150


def test_its_first_30_lines_are_the_job_the_safety_line_an_answer_and_a_call() -> None:
    first = "\n".join(TEXT.splitlines()[:30])
    parts = (
        "what splice method, for these conductors, here, and why",
        "De-energize",
        "are invented",
        "\nUse ",
        "curl -s ",
    )
    assert sorted(parts, key=first.index) == list(parts)


def test_every_output_shown_is_one_that_is_run() -> None:
    for path in MADE:
        text = path.read_text(encoding="utf-8")
        assert text.count("```text\n") == len(shown(text))
    assert set(re.findall(r"^```(\w+)$", TEXT, re.MULTILINE)) == {"sh", "text"}


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with serving() as server:
        yield f"http://localhost:{server.port}"


@pytest.mark.slow
@pytest.mark.parametrize("one", [one for _, one in SHOWN if not one.asks_a_server], ids=lambda one: one.command[-40:-1])
def test_output_is_what_the_command_prints(one: Shown) -> None:
    assert printed(one.command, "") == one.printed, "run: python -m tests.readme"


@pytest.mark.slow
@pytest.mark.parametrize(
    "one",
    [
        pytest.param(one, marks=only_where_wanted if one.needs_tools else (), id=one.command[-40:-1])
        for _, one in SHOWN
        if one.asks_a_server
    ],
)
def test_output_is_what_the_server_is_told_to_give(one: Shown, address: str) -> None:
    assert printed(one.command, address) == one.printed, "run: python -m tests.readme"


def test_output_that_was_not_made_by_running_is_seen() -> None:
    page = "```sh\necho made\n```\n```text\ninvented\n```\n"
    assert with_outputs(page, LISTENS) == page.replace("invented", "made")


def test_commands_that_ci_takes_stand_behind_their_marks() -> None:
    for mark in ("test", "answer"):
        line = TEXT.partition(f"<!-- {mark} command -->\n```sh\n")[2].partition("\n```")[0]
        assert line.startswith("python3 -m venv ")
        assert "\n" not in line


def test_words_and_figures_have_their_tables() -> None:
    assert "<!-- made: words -->\n| part | words |" in TEXT
    assert "<!-- made: figures -->\n| splicewright " in TEXT


def test_files_named_in_developers_exist() -> None:
    named = set(re.findall(r"`((?:[a-z_]+/)+[a-z_]+\.(?:py|yaml))`", DEVELOPERS))
    assert named
    roots = (ROOT, ROOT / "service" / "splicewright")
    assert {name for name in named if not any((root / name).exists() for root in roots)} == set()
