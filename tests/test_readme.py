"""What the README and DEVELOPERS.md show is what is printed, and what they name exists."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright.cli.main import main
from splicewright.question.schema import CircuitSchema, ConductorSchema, PlaceSchema, WorkSchema
from tests.readme import rewritten

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_question_and_answer_shown_are_the_real_ones() -> None:
    assert rewritten(README) == README


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
