"""A fingerprint depends on what a finding is about, not on where it stands or how it is worded."""

from __future__ import annotations

import pytest

from splicewright.audit.finding import Judgement, at_least, fingerprint

ONE = Judgement("error", "r/one", "It is so.", "/joint/conductors/0/size")


def test_wording_place_and_level_do_not_matter() -> None:
    other = Judgement("warning", "r/one", "It is said otherwise.", "/joint/conductors/1/size")
    assert fingerprint("f", "j", ONE, "12 AWG") == fingerprint("f", "j", other, "14 AWG")


@pytest.mark.parametrize(("file", "entry", "rule"), [("g", "j", "r/one"), ("f", "k", "r/one"), ("f", "j", "r/two")])
def test_file_entry_and_rule_matter(file: str, entry: str, rule: str) -> None:
    assert fingerprint("f", "j", ONE, None) != fingerprint(file, entry, Judgement("error", rule, ""), None)


def test_of_what_is_not_valid_the_part_and_its_value_matter_but_not_its_number() -> None:
    def mark(pointer: str, given: str) -> str:
        return fingerprint("f", "j", Judgement("error", "input/invalid", "", pointer), given)

    assert mark("/joint/conductors/0/size", "12") == mark("/joint/conductors/3/size", "12")
    assert len({mark("/a/0/size", "12"), mark("/a/0/size", "14"), mark("/a/0/count", "12")}) == 3


def test_fingerprint_stays_the_same_from_release_to_release() -> None:
    assert fingerprint("jobs/a.yaml", "ceiling", ONE, None) == "eeec81d4a3f06920bf5e383698faffc7"


@pytest.mark.parametrize(
    ("level", "least", "is_so"),
    [("error", "error", True), ("warning", "error", False), ("note", "note", True), ("error", "never", False)],
)
def test_levels_are_compared_by_gravity(level: str, least: str, is_so: bool) -> None:
    assert at_least(level, least) is is_so  # type: ignore[arg-type]
