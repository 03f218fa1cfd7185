"""Every page: its tables are what the program has, its links lead somewhere, the commands and files it names exist."""

from __future__ import annotations

import re

import click
import pytest

from splicewright.cli.main import main
from tests.readme import ROOT, with_tables

PAGES = sorted(
    path
    for top in ("*.md", "docker/*.md", "openapi/**/*.md", "tests/bench/*.md", "rulesets/*.md")
    for path in ROOT.glob(top)
)
TEXTS = {path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8") for path in PAGES}
EVERY = pytest.mark.parametrize("page", TEXTS)
_FENCED = re.compile(r"^```.*?^```$", re.DOTALL | re.MULTILINE)
#: Written otherwise here, as those do who read it: the left one, where the right one is meant.
FIELD_WORDS = {
    "energise": "energize",
    "earthing": "grounding",
    "aluminium": "aluminum",
    "colour": "color",
    "neighbour": "neighbor",
    "licensed person": "outside this tool",
}


def anchors(text: str) -> set[str]:
    """Give what a link may name in a page: its headings, written as a code site does."""
    headings = re.findall(r"^#+ (.+)$", _FENCED.sub("", text), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


@EVERY
def test_links_lead_somewhere(page: str) -> None:
    astray = []
    for link in re.findall(r"\]\(([^)]+)\)", _FENCED.sub("", TEXTS[page])):
        name, _, anchor = link.partition("#")
        target = ((ROOT / page).parent / name).resolve() if name else ROOT / page
        if not target.exists() or (anchor and anchor not in anchors(target.read_text(encoding="utf-8"))):
            astray.append(link)
    assert astray == []


@EVERY
def test_tables_are_what_the_program_has(page: str) -> None:
    assert with_tables(TEXTS[page]) == TEXTS[page], "run: python -m tests.readme"


def test_what_may_be_included_has_its_table() -> None:
    assert "<!-- made: include -->\n| `include` |" in TEXTS["openapi/README.md"]


def test_settings_have_their_table() -> None:
    assert "<!-- made: settings -->\n| setting |" in TEXTS["docker/README.md"]


@EVERY
def test_commands_named_exist(page: str) -> None:
    context = click.Context(main)
    lost = []
    for name, after in re.findall(r"(?:^|[`/(] ?)splicewright ([a-z]+)(?: ([a-z]+))?", TEXTS[page], re.MULTILINE):
        command = main.get_command(context, name)
        if command is None or (isinstance(command, click.Group) and after and after not in command.commands):
            lost.append((name, after))
    assert lost == []


@pytest.mark.parametrize(
    "page", [one for one in TEXTS if not one.endswith("CHANGES.md")]
)  # they tell the old words too
def test_words_are_those_of_the_field(page: str) -> None:
    assert {word for word in FIELD_WORDS if word in TEXTS[page].lower()} == set()


def test_python_shown_runs() -> None:
    shown = TEXTS["openapi/README.md"].partition("## From Python\n")[2].partition("```python\n")[2].partition("```")[0]
    held: dict[str, object] = {}
    exec(shown, held)
    assert held["answer"]["outcome"] == "options"  # type: ignore[index]


def test_link_that_leads_nowhere_would_be_seen() -> None:
    assert anchors("# Checks in CI, and `more`\n```sh\n# not this\n```\n") == {"checks-in-ci-and-more"}
