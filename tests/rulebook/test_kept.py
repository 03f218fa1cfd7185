"""What a folder of rulesets has reached is kept: no rule goes unsaid, and the share read on a page does not fall."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright import shipped
from splicewright.cli.main import main
from splicewright.operate.rule_check import check_rulesets
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import read_rulebook
from splicewright.rulebook.kept import kept_faults, removed_rules, written
from tests.api.small import RULES, small_rulesets

WET, BURIED = "environment/joint-is-wet-rated", "environment/buried-is-wet"
PAGE = "{document: NFPA 70, section: '300.5', obtained: page}"
MEMORY = PAGE.replace("page", "memory")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two rules of a code: the first read on a page, the second from memory."""
    found = small_rulesets(tmp_path / "rulesets")
    source(found, PAGE, MEMORY)
    keep(found)
    return found


def source(folder: Path, *sources: str) -> None:
    first, *rest = (folder / RULES).read_text().split("source: ")
    new = [f"{one}{part[part.index(chr(10)) :]}" for one, part in zip(sources, rest, strict=True)]
    (folder / RULES).write_text("source: ".join([first, *new]))


def keep(folder: Path) -> None:
    (folder / "kept.yaml").write_text(written(read_rulebook(folder, "nfpa70-2023").rules))


def rename(folder: Path, old: str, new: str) -> None:
    path = folder / RULES
    path.write_text(path.read_text().replace(f"id: {old.partition('/')[2]}", f"id: {new}"))


def faults(folder: Path) -> list[str]:
    return [str(fault) for fault in kept_faults(folder, read_rulebook(folder, "nfpa70-2023").rules)]


def test_rules_as_they_were_kept_are_no_fault(folder: Path) -> None:
    assert faults(folder) == []


def test_each_code_keeps_its_rules_by_how_they_are_known(folder: Path) -> None:
    assert (folder / "kept.yaml").read_text().splitlines()[2:] == [
        "nfpa70:",
        "  page:",
        f"    - {BURIED}",
        "  other:",
        f"    - {WET}",
    ]


def make_practice(folder: Path) -> None:
    (folder / RULES).write_text((folder / RULES).read_text().replace("through: 2023\n", ""))
    (folder / "nfpa70").rename(folder / "practice")


def test_rules_of_practice_are_not_kept(folder: Path) -> None:
    make_practice(folder)
    assert "environment" not in written(read_rulebook(folder, "nfpa70-2023").rules)


def test_folder_without_the_file_is_asked_nothing(folder: Path) -> None:
    (folder / "kept.yaml").unlink()
    rename(folder, BURIED, "wet-in-the-ground")
    assert faults(folder) == []


def test_rule_that_is_gone_is_told_with_its_line(folder: Path) -> None:
    rename(folder, WET, "listed-for-wet-places")
    assert faults(folder) == [
        f"kept.yaml:7: {WET}: is no rule of nfpa70; bring it back, or tell under remove in CHANGES.md why it went"
    ]


def test_rule_that_became_practice_is_gone_from_its_code(folder: Path) -> None:
    make_practice(folder)
    assert [fault.partition(": is")[0] for fault in faults(folder)[:2]] == [
        f"kept.yaml:5: {BURIED}",
        f"kept.yaml:7: {WET}",
    ]


@pytest.mark.parametrize(
    "entry",
    [
        f"- remove: `{WET}`: `environment/listed-for-wet-places` says the same.\n",
        f"- remove: two rules that said the same,\n  `environment/other` and\n  `{WET}`\n",
        f"- remove: `{WET}`",
    ],
)
def test_rule_that_the_changes_tell_as_removed_may_go(folder: Path, entry: str) -> None:
    rename(folder, WET, "listed-for-wet-places")
    (folder / "CHANGES.md").write_text(f"# Changes\n\n## 2\n\n- new: x\n{entry}")
    assert faults(folder) == []


@pytest.mark.parametrize(
    "entry",
    [
        f"- update: `{WET}`\n",
        f"- remove: `environment/other`\n- fix: `{WET}`\n",
        f"- remove: `environment/other`\n\n`{WET}`\n",
        f"- remove: {WET}-too\n",
        "- remove: `joint-is-wet-rated`\n",
        f"- remove: `environment/other`: `{WET}` says the same.\n",
    ],
)
def test_any_other_word_of_it_does_not_let_a_rule_go(folder: Path, entry: str) -> None:
    rename(folder, WET, "listed-for-wet-places")
    (folder / "CHANGES.md").write_text(entry)
    assert len(faults(folder)) == 1


def test_rule_no_longer_read_on_a_page_is_told(folder: Path) -> None:
    source(folder, MEMORY, MEMORY)
    assert faults(folder) == [
        f"kept.yaml:3: nfpa70: 0 of 2 rules were read on a page, and 1 of 2 before; no longer: {BURIED}"
    ]


def test_one_read_for_another_keeps_the_share(folder: Path) -> None:
    source(folder, MEMORY, PAGE)
    assert faults(folder) == []


def test_more_rules_from_memory_lower_the_share(folder: Path) -> None:
    path = folder / RULES
    path.write_text(path.read_text().replace("ruleset: environment", "ruleset: more"))
    path.rename(path.with_name("more.yaml"))
    source(small_rulesets(folder / "again"), MEMORY, MEMORY)
    (folder / "again" / RULES).rename(path)
    (folder / "kept.yaml").write_text(f"nfpa70: {{page: [more/{BURIED[12:]}], other: [more/{WET[12:]}]}}\n")
    assert faults(folder) == [
        (
            "kept.yaml:1: nfpa70: 1 of 4 rules were read on a page, and 1 of 2 before; "
            f"new, and not read on a page: {BURIED}, {WET}"
        )
    ]


def test_fewer_read_on_a_page_is_told_though_the_share_is_the_same(folder: Path) -> None:
    (folder / "kept.yaml").write_text(f"nfpa70: {{page: [{BURIED}, {WET}], other: [a/b, a/c]}}\n")
    (folder / "CHANGES.md").write_text("- remove: `a/b` and `a/c`, which said nothing.\n")
    assert faults(folder) == [
        f"kept.yaml:1: nfpa70: 1 of 2 rules were read on a page, and 2 of 4 before; no longer: {WET}"
    ]


def test_rule_removed_in_so_many_words_counts_no_more(folder: Path) -> None:
    source(folder, MEMORY, MEMORY)
    rename(folder, BURIED, "in-the-ground")
    (folder / "CHANGES.md").write_text(f"- remove: `{BURIED}`\n")
    assert faults(folder) == []


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("nfpa71: {page: [], other: []}", 1, "unknown key; did you mean 'nfpa70'?"),
        ("nfpa70:\n  page: []\n  memory: []\n", 3, "unknown key"),
        ("nfpa70:\n  page: []\n", 1, "is required"),
        ("nfpa70:\n  page: []\n  other:\n    - a/b\n    - 3\n", 5, "is not text"),
        ("nfpa70:\n  page: [a/b]\n  other:\n    - a/b\n", 4, "a/b: stands twice"),
        ("nfpa70:\n  page:\n    - a/b\n  other: []\n", 3, "a/b: is no rule of nfpa70"),
        ("- a\n", 1, "must be an object"),
        ("nfpa70: [\n", 2, "not YAML"),
    ],
)
def test_what_is_not_known_is_told_with_its_line(folder: Path, text: str, line: int, says: str) -> None:
    (folder / "kept.yaml").write_text(text)
    assert any(fault.startswith(f"kept.yaml:{line}: ") and says in fault for fault in faults(folder)), faults(folder)


def test_check_holds_a_folder_to_what_it_keeps_and_a_reload_does_not(folder: Path) -> None:
    source(folder, MEMORY, MEMORY)
    assert [fault.line for fault in check_rulesets(folder, kept=True).faults] == [3]
    assert check_rulesets(folder).faults == ()


def checked(folder: Path, *options: str) -> tuple[int, str]:
    result = CliRunner().invoke(main, ["rules", "check", "--folder", str(folder), *options])
    return result.exit_code, result.stderr


def test_keep_writes_what_was_reached(folder: Path) -> None:
    source(folder, PAGE, PAGE)
    assert checked(folder, "--keep")[0] == 0
    assert "other: []" in (folder / "kept.yaml").read_text()
    assert checked(folder) == (0, "")


def test_keep_begins_the_file_of_a_folder_that_has_none(folder: Path) -> None:
    before = (folder / "kept.yaml").read_text()
    (folder / "kept.yaml").unlink()
    assert checked(folder, "--keep")[0] == 0
    assert (folder / "kept.yaml").read_text() == before


def test_keep_does_not_lower(folder: Path) -> None:
    before = (folder / "kept.yaml").read_text()
    source(folder, MEMORY, MEMORY)
    code, told = checked(folder, "--keep")
    assert (code, (folder / "kept.yaml").read_text()) == (2, before)
    assert "kept.yaml:3: nfpa70: 0 of 2 rules were read on a page" in told


def test_every_shipped_rule_of_a_code_is_kept() -> None:
    rulesets = shipped.folder("rulesets")
    rules = {rule.id: rule for code in CODES for rule in read_rulebook(rulesets, code).rules}
    assert (rulesets / "kept.yaml").read_text() == written(rules.values()), "splicewright rules check --keep"


def test_changes_shipped_name_no_rule_as_removed_that_is_there() -> None:
    rulesets = shipped.folder("rulesets")
    assert not removed_rules(rulesets) & {rule.id for code in CODES for rule in read_rulebook(rulesets, code).rules}
