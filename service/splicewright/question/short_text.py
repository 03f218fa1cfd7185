"""A question in one line, of words of the vocabulary and units: `2 of 12 AWG solid, 1 of 18 AWG; wet; 120 V`.

Each conductor begins with its size, before which may stand how many there are of it (`3 #12`, `three 12 AWG`), and has
its own words; what else is said is parted from it by commas or semicolons. A leaf may be named: `end=ferruled`, `end
ferruled`, `amps 20 A`; amperes beside a word of a breaker are the breaker's. Nothing is guessed: what has two meanings,
no unit, or no place is a problem, and words that may be one name with those beside them are not cut.
"""

from __future__ import annotations

import re

from splicewright.question.read import read_question
from splicewright.question.short_conductor import MANY
from splicewright.question.short_item import Item, ShortQuestion
from splicewright.refusals import Problem, Refused, Says

LONGEST = 2_000  # characters
_JOINED = r"(?:and|&|to|with)\s+"
#: Items end at a comma, a semicolon or a plus, and where `and` or the like stands before a number.
_ITEM = re.compile(rf"(?:(?!\s{_JOINED}(?:#|{MANY}\b))[^,;+])+", re.IGNORECASE)


def is_short(text: str) -> bool:
    """Tell whether a text may be a question in one line, and no name of a file: it has a blank and a size or a unit."""
    return " " in text.strip() and "\n" not in text.strip() and any(character.isdigit() for character in text)


def read_short(text: str) -> ShortQuestion:
    """Read a question in one line."""
    found = ShortQuestion()
    if len(text) > LONGEST:
        too_long = Says(f"is {len(text):,} characters long; at most {LONGEST:,} are allowed", "too-long")
        found.problems.append(Problem("/column/1", too_long))
        return found
    for item in _ITEM.finditer(text):
        start = item.start() + len(item[0]) - len(item[0].lstrip())
        if item[0].strip():
            text_of_item = re.sub(rf"\A{_JOINED}", "", item[0].strip(), flags=re.IGNORECASE)
            Item(found, text_of_item, start + 1 + len(item[0].strip()) - len(text_of_item)).read()
    if not found.question.get("joint", {}).get("conductors") and not found.problems:
        says = "names no conductor; begin with its size, such as 2 of 12 AWG"
        found.problems.append(Problem("/column/1", Says(says, "missing")))
    if not found.problems:
        try:
            read_question(found.question)
        except Refused as error:
            found.problems += error.problems
    return found
