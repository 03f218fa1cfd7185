"""Command line, batch, HTTP and Python give the same answer."""

from __future__ import annotations

from pathlib import Path

import orjson
import pytest
from click.testing import CliRunner

from splicewright import choose, shipped
from splicewright.api.app import create_app
from splicewright.cli.main import main
from splicewright.question.schema import QuestionSchema
from splicewright.yaml_text import read_yaml

EXAMPLES = [
    path
    for path in sorted(shipped.folder("openapi").glob("examples/boathouse-*.yaml"))
    if read_yaml(path.read_bytes()).value.keys() <= QuestionSchema().fields.keys()  # the others are no questions
]


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_all_ways_in_give_the_same_answer(path: Path) -> None:
    question = read_yaml(path.read_bytes()).value
    python = choose(question)
    run = CliRunner()
    command = orjson.loads(run.invoke(main, ["choose", str(path), "--format", "json"]).stdout)
    batch = orjson.loads(
        run.invoke(main, ["batch", "-", "--explain", "full"], input=orjson.dumps(question) + b"\n").stdout
    )
    http = create_app().test_client().post("/v1/choices", json=question)
    assert http.status_code == 200
    assert python == command == batch == http.get_json()


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 4
