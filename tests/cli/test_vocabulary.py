"""`splicewright vocabulary`: the words, for people and as the API gives them."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner, Result

from splicewright.api.app import create_app
from splicewright.cli.main import main
from splicewright.form_vocabulary import word_lists
from splicewright.question.vocabulary import EXPOSURE


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["vocabulary", *arguments])


def test_every_list_is_named() -> None:
    first = {line.split(" ")[0] for line in run().stdout.splitlines()}
    assert {one.name for one in word_lists()} <= first


def test_words_of_a_list_are_told_with_their_meanings_and_where_they_go() -> None:
    printed = run("exposure").stdout
    assert "/v1/choices /place/exposure" in printed
    for word, means in EXPOSURE.items():
        assert f"{word} " in printed
        assert means in printed


@pytest.mark.parametrize(("arguments", "query"), [([], ""), (["exposure"], "?list=exposure")])
def test_json_is_what_the_api_gives(arguments: list[str], query: str) -> None:
    told = create_app().test_client().get(f"/v1/vocabulary{query}").get_json()
    assert json.loads(run(*arguments, "--format", "json").stdout) == told


@pytest.mark.parametrize("form", ["text", "json"])
def test_unknown_list_is_refused_with_the_nearest(form: str) -> None:
    result = run("exposures", "--format", form)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "did you mean 'exposure'?" in result.stderr
