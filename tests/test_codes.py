"""Editions are words in an order that their code declares; what was read for them is claimed, never inherited."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.codes import FILE, Code, code_of, codes, edition_of, name_of, read_codes
from splicewright.faults import Faults
from splicewright.nearest_word import Spoken, Synonyms
from splicewright.question.vocabulary import CODES
from splicewright.refusals import not_allowed

#: Editions that neither numbers nor the alphabet would put in order.
CODE = Code("made", "A code", ("first", "second", "2.1", "last"), through="2.1")
GOOD = """\
about: Codes made for a test.
default: made-2.1
codes:
  made: {title: A code, editions: [first, second, 2.1, last], through: 2.1}
"""


def read(folder: Path, text: str):
    (folder / FILE).write_text(text)
    return read_codes(folder / FILE)


@pytest.mark.parametrize(
    ("written", "editions", "goes_on", "shown"),
    [
        ("first-", ("first", "second", "2.1"), True, "first-2.1"),
        ("second-", ("second", "2.1"), True, "second-2.1"),
        ("2.1-", ("2.1",), True, "2.1"),
        ("second", ("second",), False, "second"),
        ("first-second", ("first", "second"), False, "first-second"),
        ("second-last", ("second", "2.1", "last"), False, "second-last"),
        ("last", ("last",), False, "last"),
    ],
)
def test_an_open_range_ends_with_what_was_read_and_a_written_end_claims_more(written, editions, goes_on, shown) -> None:
    found = CODE.claim(written, "2.1")
    assert (found.editions, found.goes_on, str(found)) == (editions, goes_on, shown)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("last-", "'last-' begins after 2.1, through which this was read; write 'last'"),
        ("second-first", "'second-first' ends before it begins"),
        ("secnd-", "'secnd-' is not a range of editions: \"secnd\" is not known; did you mean 'second'?"),
        ("first to last", "'first to last' is not a range of editions; write first-, first-last or last"),
        ("", "'' is not a range of editions; write first-, first-last or last"),
    ],
)
def test_a_range_that_is_none_is_told_with_what_to_write(written, says) -> None:
    with pytest.raises(ValueError, match=r"begins|range") as caught:
        CODE.claim(written, "2.1")
    assert str(caught.value) == says


def test_figures_hold_from_the_edition_they_are_new_in() -> None:
    since = {"first": 1, "2.1": 2}
    assert [CODE.figure(edition, since) for edition in CODE.editions] == [1, 1, 2, 2]
    with pytest.raises(KeyError):
        CODE.figure("first", {"second": 1})
    with pytest.raises(KeyError):
        CODE.figure("never", since)


def test_questions_may_name_the_editions_that_were_read_and_no_other(tmp_path: Path) -> None:
    found = read(tmp_path, GOOD)
    assert found.by_name == {"made": CODE}
    assert found.offered() == {
        "made-first": "A code, edition first",
        "made-second": "A code, edition second",
        "made-2.1": "A code, edition 2.1",
    }
    assert list(found.unread()) == ["made-last"]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("through: 2.1", "through: 2.2", "codes.yaml:4: codes/made/through: \"2.2\" is not known; did you mean '2.1'?"),
        ("second, 2.1", "second, second, 2.1", "codes.yaml:4: codes/made/editions/2: stands twice"),
        ("second,", "2-nd,", "codes.yaml:4: codes/made/editions/1: is a word of letters, digits and points, like 2023"),
        ("title: A code, ", "", "codes.yaml:4: codes/made/title: is required"),
        ("default: made-2.1", "default: made-last", 'codes.yaml:2: default: "made-last" is not known'),
        ("about: Codes made for a test.\n", "", "codes.yaml:1: about: is required"),
        ("codes:\n", "codes: &a\n", "codes.yaml:3: anchors and aliases are not allowed"),
    ],
)
def test_a_fault_of_the_declaration_is_told_with_its_line(tmp_path: Path, old: str, new: str, fault: str) -> None:
    assert old in GOOD
    with pytest.raises(Faults) as caught:
        read(tmp_path, GOOD.replace(old, new))
    assert str(caught.value).startswith(fault)


def test_the_codes_that_a_question_may_name_are_those_declared() -> None:
    assert dict(CODES) == codes().offered()
    assert codes().default in CODES
    for code in CODES:
        assert f"{code_of(code).name}-{edition_of(code)}" == code
        assert name_of(code) == code_of(code).name


def test_a_code_edition_that_was_not_read_is_refused_with_the_newest_that_was(tmp_path: Path) -> None:
    found = read(tmp_path, GOOD)
    words = Spoken(lambda: Synonyms(found.unread(), {}), found.offered())
    assert not_allowed("made-last", words) == (
        '"made-last" is not known; say made-2.1; the rules were not read for last yet'
    )
