"""What the recipes of `DEVELOPERS.md` add, on a copy: it changes what the recipe names, and turns nothing red."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.chosen import CHOSEN
from tests.clients.making import CHOICE
from tests.scratch import ROOT, Scratch, scratch

pytestmark = pytest.mark.slow

PRACTICE = "rulesets/practice/vibration.yaml"
#: Of practice, and met by no question that a page or a worked call asks.
CAUTION = """
  - id: joint-that-bends-in-temporary-work
    when:
      - place: {movement: flexing}
      - work: {temporary: true}
    caution: true
    says: A joint that bends in temporary work wears within days; look at it often, and renew it where strands show.
    source: common-practice
    examples:
      fires: [{place: {movement: flexing}, work: {temporary: true}}]
      silent: [{place: {movement: flexing}}, {place: {movement: vibrating}, work: {temporary: true}}]
"""
#: Of a code, read on a page: where it goes (its file, and what it stands behind), and the rule.
CODE = ("rulesets/nfpa70/access.yaml", "silent: [{place: {enclosure: conduit-body}}]\n")
BAR = """
  - id: no-joint-that-bends-in-a-short-radius-body
    when:
      - place: {enclosure: short-radius-body, movement: flexing}
    bar: joint
    says: A capped elbow or other short-radius body has no room for a joint, and least for one that bends; use a box.
    source: {document: NFPA 70, section: "314.16(C)", obtained: page}
    examples:
      fires: [{place: {enclosure: short-radius-body, movement: flexing}}]
      silent: [{place: {enclosure: short-radius-body}}, {place: {movement: flexing}}]
"""
#: A word, and what people say instead of it.
WORDS = ("service/splicewright/question/vocabulary.py", 'no farmhouse, shop or clean shed",\n')
WORD = '        "campsite": "a camping ground or a park for recreational vehicles",\n'
SYNONYMS = ("rulesets/words/synonyms.yaml", "      agricultural: [barn, stable]\n")
SAID = "      campsite: [campground, camping-ground]\n"
#: A leaf, which a rule tests.
LEAF = ("service/splicewright/question/model.py", 'about="Indoors or outdoors.")\n')
WASHDOWN = '    washdown: bool = leaf(Flag(), default=False, about="Whether the place is hosed down.")\n'
HOSED = """
  - id: hosed-joint-that-bends
    when:
      - place: {movement: flexing, washdown: true}
    caution: true
    says: Water is driven along a conductor that bends, into what it is joined in; hang a loop below the joint.
    source: common-practice
    examples:
      fires: [{place: {movement: flexing, washdown: true}}]
      silent: [{place: {movement: flexing}}, {place: {washdown: true}}]
"""
#: The formats of rules for editors.
SCHEMAS = {"rulesets/rules.schema.json", "rulesets/amendments/amendment.schema.json"}
#: They compare pages, and the document with its worked calls, with what they were made from.
PAGES = ("tests/test_readme.py", "tests/test_pages.py", "tests/clients/test_recipes.py")
DOCUMENT = ("tests/contract/test_document.py", "tests/contract/test_examples.py")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
#: They need more than Python; CI has it.
NEED_TOOLS = ("tests.readme", "tests.clients.recipes")


@pytest.fixture
def copy(tmp_path: Path) -> Scratch:
    return scratch(tmp_path / "copy")


def add(copy: Scratch, rule: str) -> None:
    with (copy.folder / PRACTICE).open("a", encoding="utf-8") as file:
        file.write(rule)


def pytest_in(copy: Scratch, *files: str) -> None:
    copy.run("pytest", "-q", "-p", "no:cacheprovider", *files)


def commands(name: str) -> Iterator[list[str]]:
    """Give the commands of a recipe in their order, each without what runs a module."""
    (recipe,) = re.findall(rf"^\*\*{re.escape(name)}\.\*\* .*?^(?=\*\*|## )", DEVELOPERS, re.MULTILINE | re.DOTALL)
    for command in re.findall(r"`((?:pytest|python -m|splicewright) [^`]+)`", recipe):
        yield command.removeprefix("python -m ").split()


def follow(copy: Scratch, name: str) -> None:
    """Run what a recipe says to run."""
    for command in commands(name):
        if command[0] not in NEED_TOOLS or CHOICE in CHOSEN:
            copy.run(*command)


def test_caution_that_no_worked_call_meets_changes_none(copy: Scratch) -> None:
    add(copy, CAUTION)
    copy.run("tests.contract.examples")
    assert copy.changed() == {PRACTICE}


def test_what_a_worked_call_meets_changes_it(copy: Scratch) -> None:
    copy.put(PRACTICE, "says: The tie takes the movement", ", all of it")
    copy.run("tests.contract.examples")
    met = {f"openapi/examples/calls/{name}.yaml" for name in ("checks-shaking", "batches-list")}
    assert copy.changed() == {PRACTICE, "openapi/openapi.yaml", *met}


def test_caution_passes_the_check_and_changes_no_page(copy: Scratch) -> None:
    add(copy, CAUTION)
    copy.run("splicewright", "rules", "check", "--folder", "rulesets", "--keep")
    pytest_in(copy, *PAGES)
    assert "look at it often" in copy.run(
        "splicewright", "rules", "show", "vibration/joint-that-bends-in-temporary-work"
    )
    assert copy.changed() == {PRACTICE}


def test_rule_of_a_code_is_added_by_its_recipe(copy: Scratch) -> None:
    copy.put(CODE[0], CODE[1], BAR)
    follow(copy, "A rule")
    pytest_in(copy, *PAGES, *DOCUMENT, "tests/rulebook/test_kept.py", "tests/rules/test_shipped_rules.py")
    assert copy.changed() == {CODE[0], "rulesets/kept.yaml"}


def test_word_is_added_by_its_recipe(copy: Scratch) -> None:
    copy.put(WORDS[0], WORDS[1], WORD)
    copy.put(SYNONYMS[0], SYNONYMS[1], SAID)
    follow(copy, "A word of a list")
    pytest_in(copy, *PAGES, *DOCUMENT, "tests/rulebook/test_word_reach.py")
    assert copy.changed() == {WORDS[0], SYNONYMS[0], "openapi/openapi.yaml", *SCHEMAS}


@pytest.mark.skipif(not (shutil.which("curl") and shutil.which("jq")), reason="the README's table is written with them")
def test_leaf_is_declared_on_its_line_and_in_what_is_generated(copy: Scratch) -> None:
    copy.put(*LEAF, WASHDOWN)
    add(copy, HOSED)
    for command in commands("A word of a question"):
        if command[0] not in ("pytest", "tests.clients.recipes"):
            copy.run(*command)
    pytest_in(copy, "tests/test_pages.py", *DOCUMENT, "tests/question/test_read.py", "tests/sheets/test_columns.py")
    changed = {name for name in copy.changed() if not name.startswith("openapi/")}
    assert changed == {LEAF[0], PRACTICE, "README.md", *SCHEMAS}
