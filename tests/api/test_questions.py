"""A question in one line comes back in the words and quantities of the document, and asks what the line asks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from splicewright.json_pointer import value_at
from splicewright.nearest_word import Spoken
from splicewright.question.short_text import read_short
from tests.api.asking import new_client, post
from tests.contract.schemas import faults
from tests.question.leaves import every

QUANTITIES = ("24 in", "2 ft", "600 mm", "60 cm", "100 F", "40 degC", "120 V", "20 A", "18 in3", '1/2"', "12.345 V")


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return new_client()


def said() -> Iterator[tuple[str, str]]:
    """Give every leaf with each of its words, what people say instead of them, and quantities."""
    for name, leaf in every().items():
        words = getattr(leaf.field, "words", ())
        spoken = words.said if isinstance(words, Spoken) else ()
        quantities = QUANTITIES if leaf.field.kind in ("number", "quantity") else ()
        flags = ("yes", "no") if leaf.field.kind == "flag" else ()
        for one in (*words, *spoken, *quantities, *flags):
            yield name.replace(".", " ").replace("_", " "), one


def lines() -> Iterator[str]:
    """Give lines that are understood: of each leaf and word, named and by itself."""
    for name, word in said():
        for told in (f"{name}={word}", f"{name.partition(' ')[2]} {word}", word):
            for between in (" ", "; "):
                if not read_short(line := f"2 of 12 AWG{between}{told}").problems:
                    yield line


def test_each_word_and_quantity_comes_in_the_form_of_the_document(client: FlaskClient) -> None:
    tried = list(dict.fromkeys(lines()))
    written_otherwise = 0
    for line in tried:
        answer = post(client, "/v1/questions", {"text": line}).get_json()
        assert faults("ShortQuestion", answer) == [], line
        for one in answer.get("read_as", ()):
            assert value_at(answer["question"], one["pointer"]) == one["taken"], line
            written_otherwise += 1
    assert written_otherwise > 200


def test_it_asks_what_the_line_asks(client: FlaskClient) -> None:
    other = {"read_as"}
    for line in dict.fromkeys(lines()):
        own = post(client, "/v1/questions", {"text": line}).get_json()
        if "read_as" not in own:
            continue
        as_said: dict[str, Any] = read_short(line).question
        answers = [post(client, "/v1/choices?explain=brief", asked) for asked in (as_said, own["question"])]
        first, second = (answer.get_json() for answer in answers)
        assert {key: first[key] for key in first.keys() - other} == second, line
        assert first["read_as"] == own["read_as"], line
