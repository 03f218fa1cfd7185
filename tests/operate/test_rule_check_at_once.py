"""A folder of rulesets is checked whole: what is wrong in one file, or one phase, hides nothing in another."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.operate.rule_check import check_rulesets
from tests.api.small import RULES, small_rulesets

_RULE = """\
  - id: {id}
    when: [{{place: {{exposure: {exposure}}}}}]
    {does}
    says: {says}
    source: common-practice
    examples: {{fires: [{fires}], silent: [{{}}]}}
"""
_WET = "{place: {exposure: wet}}"


def rule(
    name: str, *, exposure: str = "wet", does: str = "caution: true", says: str = "Why.", fires: str = _WET
) -> str:
    return _RULE.format(id=name, exposure=exposure, does=does, says=says, fires=fires)


def amendment(name: str, *rules: str) -> str:
    return f"ruleset: {name}\nabout: How.\namends: every-code\nrules:\n{''.join(rules)}"


def practice(name: str, *rules: str) -> str:
    return f"ruleset: {name}\nabout: How.\nrules:\n{''.join(rules)}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found = small_rulesets(tmp_path / "rulesets")
    for name in ("practice", "amendments"):
        (found / name).mkdir()
    return found


def told(folder: Path) -> set[tuple[str, int, str]]:
    faults = check_rulesets(folder).faults
    return {(fault.file.removeprefix(f"{folder}/"), fault.line, fault.says) for fault in faults}


def spots(folder: Path) -> set[tuple[str, int]]:
    return {(file, line) for file, line, _ in told(folder)}


def test_a_folder_without_fault_has_none(folder: Path) -> None:
    (folder / "practice" / "one.yaml").write_text(practice("one", rule("sound")))
    (folder / "amendments" / "ours.yaml").write_text(amendment("ours", rule("sound")))
    assert check_rulesets(folder).faults == ()


def test_a_file_that_can_not_be_read_hides_nothing_in_the_others(folder: Path) -> None:
    (folder / "practice" / "one.yaml").write_text("rules: [")
    twice = rule("misspelled", exposure="wett") + rule("silent", fires="{}")
    (folder / "practice" / "two.yaml").write_text(practice("two", twice))
    wrong = rule("wordy", says="'{place.expo}'") + rule("silent", fires="{}") + rule("sound")
    (folder / "practice" / "three.yaml").write_text(practice("three", wrong))
    (folder / "practice" / "four.yml").write_text("")
    (folder / "amendments" / "ours.yaml").write_text(amendment("ours", rule("misspelled", exposure="wett")))
    shop = folder / "catalogues" / "shop.yaml"
    shop.write_text(shop.read_text().replace("method: lever", "method: levr"))
    found = spots(folder)
    assert found >= {
        ("practice/one.yaml", 2),
        ("practice/two.yaml", 5),
        ("practice/three.yaml", 7),
        ("practice/three.yaml", 15),
        ("practice/four.yml", 0),
        ("amendments/ours.yaml", 6),
        ("catalogues/shop.yaml", 6),
    }
    assert len(found) == 7


def test_a_catalogue_that_contradicts_itself_is_told(folder: Path) -> None:
    shop = folder / "catalogues" / "shop.yaml"
    shop.write_text(shop.read_text().replace("reusable: true", "irreversible: true\n    reusable: true", 1))
    assert {file for file, _ in spots(folder)} == {"catalogues/shop.yaml"}


def test_each_phase_goes_on_after_another(folder: Path) -> None:
    wrong = rule("wordy", says="'{place.expo}'") + rule("silent", fires="{}")
    (folder / "practice" / "one.yaml").write_text(practice("one", wrong))
    (folder / "amendments" / "ours.yaml").write_text(amendment("ours", rule("silent", fires="{}")))
    (folder / "amendments" / "theirs.yaml").write_text(amendment("theirs", rule("typo", exposure="wett")))
    shop = folder / "catalogues" / "shop.yaml"
    shop.write_text(shop.read_text().replace("method: lever", "method: levr"))
    assert spots(folder) == {
        ("practice/one.yaml", 7),
        ("practice/one.yaml", 15),
        ("amendments/ours.yaml", 10),
        ("amendments/theirs.yaml", 6),
        ("catalogues/shop.yaml", 6),
    }


def test_a_rule_that_goes_on_from_none_is_told(folder: Path) -> None:
    text = (folder / RULES).read_text()
    (folder / RULES).write_text(text.replace("    examples:", "    succeeds: environment/nothing\n    examples:", 1))
    assert {line for file, line, _ in told(folder) if file == str(RULES)} == {11}
