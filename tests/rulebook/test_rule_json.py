"""A rule that is not there: which amendment took it out, or the nearest id."""

from __future__ import annotations

from dataclasses import replace

import pytest

from splicewright import shipped
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import Rulebook, RuleFiles
from splicewright.rulebook.model import Amended
from splicewright.rulebook.rule_json import not_there


def laid(code: str) -> Rulebook:
    return RuleFiles(shipped.folder("rulesets")).rulebook(code, ("coastal-county", "house-rules"))


@pytest.mark.parametrize("code", CODES)
def test_each_rule_that_was_taken_out_is_told_with_what_became_of_it(code: str) -> None:
    book = laid(code)
    assert {one.did for one in book.amended} == {"withdrawn", "replaced"}
    for one in book.amended:
        told = not_there(book, one.rule.id)
        assert told.startswith(f"{one.rule.id} was {one.did} by {one.amendment}")
        assert f"{one.file}:{one.line}" not in told
        assert f"({one.file}:{one.line})" in not_there(book, one.rule.id, lines=True)
        if one.did == "replaced":
            (instead,) = (rule.id for rule in book.rules if rule.replaces == one.rule.id)
            assert told.endswith(f" with {instead}")
        else:
            assert told.endswith(one.says)


def test_what_replaced_it_and_was_taken_out_too_is_followed() -> None:
    book = laid("nfpa70-2023")
    (instead,) = (rule for rule in book.rules if rule.replaces)
    gone = Amended(instead, "withdrawn", "later", "We do not.", None, "later.yaml", 3)
    rules = tuple(rule for rule in book.rules if rule is not instead)
    told = not_there(replace(book, rules=rules, amended=(*book.amended, gone)), str(instead.replaces), lines=True)
    assert told.endswith(f"; {instead.id} was withdrawn by later (later.yaml:3): We do not.")


def test_of_any_other_the_nearest_id_is_told() -> None:
    book = laid("nfpa70-2023")
    assert "did you mean 'environment/buried-is-wet'?" in not_there(book, "environment/buried-is-wett")
