"""Counts of rules for people and as JSON: what is translated is told."""

from __future__ import annotations

import pytest

from splicewright.operate.rule_check import Checked
from splicewright.reports.rules import counts_plain, print_counts
from splicewright.rulebook.translation import Translated

CHECKED = Checked((), translated=(Translated("es", 2, 5),))


def test_what_is_left_in_english_is_counted(capsys: pytest.CaptureFixture[str]) -> None:
    print_counts(CHECKED)
    assert "es: 2 of 5 sentences of" in capsys.readouterr().out
    assert counts_plain(CHECKED)["translated"] == {"es": {"sentences": 5, "translated": 2}}


def test_nothing_is_told_where_there_is_no_translation(capsys: pytest.CaptureFixture[str]) -> None:
    print_counts(Checked(()))
    assert "sentences" not in capsys.readouterr().out
