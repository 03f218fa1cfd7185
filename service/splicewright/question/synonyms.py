"""What people say instead of the words of a question, read from the rulesets.

A word with one meaning is taken for it, and told (`read_as.py`); one with several is refused, and told what to say.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from splicewright import shipped
from splicewright.nearest_word import Synonyms


def synonyms(name: str) -> Synonyms:
    """Give what is said instead of the words of a list, by its name.

    For each, in small letters with hyphens, the word that is meant; or, where it has several meanings, a sentence that
    goes on after "say".
    """
    return _lists()[name]


@functools.cache
def key_synonyms() -> Synonyms:
    """Give the same of what is said instead of the keys of a question; such a key is refused all the same."""
    return _by_what_is_said(_file()["keys"])


@functools.cache
def _lists() -> Mapping[str, Synonyms]:
    return {name: _by_what_is_said(of_list) for name, of_list in _file()["lists"].items()}


def _file() -> Mapping[str, Any]:
    path = shipped.folder("rulesets") / "words" / "synonyms.yaml"
    found: Mapping[str, Any] = shipped.read_data_file(path, path.name).value
    return found


def _by_what_is_said(of_list: Mapping[str, Any]) -> Synonyms:
    meanings: dict[str, str] = {}
    codes: dict[str, frozenset[str]] = {}
    for word, listed in of_list.get("one", {}).items():
        for synonym in listed:
            said = synonym if isinstance(synonym, str) else synonym["said"]
            meanings[said] = word
            if not isinstance(synonym, str):
                codes[said] = frozenset(synonym["codes"])
    meanings |= {said: several["say"] for several in of_list.get("several", ()) for said in several["said"]}
    return Synonyms(meanings, codes)
