"""What the README and DEVELOPERS.md show is what is printed, and what they name exists."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright import shipped
from splicewright.cli.main import main
from splicewright.question.schema import CircuitSchema, ConductorSchema, PlaceSchema, WorkSchema

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
QUESTION = shipped.folder("openapi") / "examples" / "boathouse-luminaire.yaml"


def block(after: str, kind: str) -> str:
    found = re.search(rf"{after}.*?```{kind}\n(.*?)\n```", README, re.DOTALL)
    assert found
    return found[1]


def test_question_shown_is_the_example() -> None:
    assert block("One question and its answer", "yaml") == QUESTION.read_text(encoding="utf-8").rstrip()


def test_answer_shown_is_what_is_printed() -> None:
    printed = CliRunner().invoke(main, ["choose", str(QUESTION)]).stdout
    assert block("prints:", "text") == printed.rstrip()


@pytest.mark.parametrize("schema", [ConductorSchema, PlaceSchema, CircuitSchema, WorkSchema])
def test_every_word_of_a_question_is_named(schema: type) -> None:
    table = README[README.index("## What to ask") : README.index("## Ways in")]
    assert {name for name in schema().fields if f"`{name}`" not in table} == set()


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_commands_named_exist(text: str) -> None:
    for command in re.findall(r"splicewright ((?:rules )?[a-z]+)", text):
        words = command.split()
        if words[0] in ("choose", "batch", "serve", "rules"):
            assert CliRunner().invoke(main, [*words, "--help"]).exit_code == 0


def test_files_named_in_developers_exist() -> None:
    named = set(re.findall(r"`((?:[a-z_]+/)+[a-z_]+\.(?:py|yaml))`", DEVELOPERS))
    assert named
    roots = (ROOT, ROOT / "service" / "splicewright")
    assert {name for name in named if not any((root / name).exists() for root in roots)} == set()
