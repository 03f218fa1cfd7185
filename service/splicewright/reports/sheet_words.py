"""The words of a work sheet in the language of its readers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

Plain = Mapping[str, Any]


class Told(NamedTuple):
    """A sentence as it is to be read, and in English beneath, where that is another."""

    text: str
    english: str = ""


class SheetWords:
    """English: every label and every sentence as it is."""

    language = "en"

    def say(self, label: str, /, **slots: object) -> str:
        """Give a label with its slots filled."""
        return label.format(**slots) if slots else label

    def sentence(self, rule: str, said: str) -> Told:  # noqa: ARG002 - others look it up by its rule
        """Give what a rule says, or tells to do."""
        return Told(said)


def words_in(language: str) -> SheetWords:
    """Give the words of a language."""
    assert language == SheetWords.language
    return SheetWords()
