"""Colors of grounding conductors. Source: NFPA 70, 250.119: green, green with yellow, or bare."""

from __future__ import annotations

import pytest

from splicewright.tables.conductors import grounding_color, grounding_color_source


@pytest.mark.parametrize(
    ("role", "color"),
    [
        ("equipment-grounding", "green or bare"),
        ("isolated-grounding", "green"),
        ("grounded", None),
        ("ungrounded", None),
    ],
)
def test_only_grounding_roles_have_a_color(role, color):
    assert grounding_color(role) == color


def test_the_source_names_the_edition():
    assert grounding_color_source("nfpa70-2020") == {
        "kind": "published",
        "document": "NFPA 70",
        "edition": "2020",
        "section": "250.119",
        "obtained": "page",
    }


def test_a_code_that_was_not_entered_has_no_source():
    assert grounding_color_source("iec60364") is None
