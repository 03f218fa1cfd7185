"""The words of a work sheet in the language of its readers, with the English beneath where that is another."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from splicewright.answer_forms import HERE
from splicewright.rulebook import Rule
from splicewright.rulebook.concerns import concern_words
from splicewright.rulebook.translation import LANGUAGES as OTHERS
from splicewright.rulebook.translation import Translation, translation

LANGUAGES = ("en", *OTHERS)


class Told(NamedTuple):
    """A sentence as it is to be read (empty where there is only English), and in English, where that is another."""

    text: str
    english: str = ""


class SheetWords:
    """English: every label and every sentence as it is."""

    language = "en"

    def say(self, label: str, /, **slots: object) -> str:
        """Give a label with its slots filled."""
        return label.format(**slots) if slots else label

    def standing(self, label: str) -> Told:
        """Give a sentence of no rule's that everyone is to understand."""
        return Told(label)

    def sentence(self, rule: str, said: str) -> Told:  # noqa: ARG002 - others look it up by its rule
        """Give what a rule says, or tells to do; `rule` is empty where no rule says it."""
        return Told(said)

    def asks(self, concern: str) -> str:
        """Give what a concern asks; its id where there is no such one."""
        return concern_words().get(concern, concern)


class TranslatedWords(SheetWords):
    """Another language. What is not translated is told in English."""

    def __init__(self, words: Translation, rules: Iterable[Rule]) -> None:
        """Take a translation, and the rules that the answer is from."""
        self.language = words.language
        self._words = words
        self._rules = {rule.id: rule for rule in rules}

    def say(self, label: str, /, **slots: object) -> str:
        """Give a label with its slots filled."""
        return super().say(self._words.label(label), **slots)

    def standing(self, label: str) -> Told:
        """Give a sentence of no rule's, with the English beneath."""
        return Told(self._words.standing(label) or "", label)

    def sentence(self, rule: str, said: str) -> Told:
        """Give what a rule says, with the English beneath."""
        known = self._rules.get(rule)
        own, mark, here = said.partition(HERE)
        told = known and self._words.sentence(known, own)
        return Told(f"{told}{self.say(mark)}{here}" if told else "", said)

    def asks(self, concern: str) -> str:
        """Give what a concern asks."""
        return self._words.concerns.get(concern) or super().asks(concern)


def words_in(language: str, rules: Callable[[], Iterable[Rule]]) -> SheetWords:
    """Give the words of a language for an answer that is from these rules."""
    return SheetWords() if language == SheetWords.language else TranslatedWords(translation(language), rules())
