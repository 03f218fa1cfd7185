"""marshmallow's pattern for mail addresses is made late in a command, and reads addresses as it always did."""

from __future__ import annotations

import subprocess
import sys

import pytest

SCRIPT = """
import re
made = re.compile
from splicewright.cli.late_patterns import import_marshmallow
import_marshmallow()
assert re.compile is made
from marshmallow import ValidationError, validate
print(type(validate.Email.DOMAIN_REGEX).__name__)
for text in {texts!r}:
    try:
        print(validate.Email()(text) == text)
    except ValidationError:
        print(False)
"""
TEXTS = (
    "name@place.example",
    "name@\u00e4rzte.example",
    "NAME@PLACE.EXAMPLE",
    "name@[127.0.0.1]",
    "name@place..example",
    "name@-",
)


def test_addresses_are_read_as_before() -> None:
    ended = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(texts=TEXTS)], capture_output=True, check=True, text=True
    )
    kind, *right = ended.stdout.split()
    assert kind == "_Late"
    assert right == ["True", "True", "True", "True", "False", "False"]


@pytest.mark.parametrize("first", ["", "import marshmallow; "])
def test_patterns_of_others_are_made_at_once(first: str) -> None:
    script = f"{first}from splicewright.cli.late_patterns import import_marshmallow as late; late(); import re; "
    ended = subprocess.run(
        [sys.executable, "-c", script + "print(type(re.compile('a-\\uffff')).__name__)"],
        capture_output=True,
        check=True,
        text=True,
    )
    assert ended.stdout == "Pattern\n"
