"""How the time grows with the rules and with the connectors. Each size is asked others, none twice."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import orjson

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.engine import Engine
from splicewright.question.read import read_question
from splicewright.yaml_text import read_yaml
from tests.bench.answers import answer_all
from tests.bench.questions import lines
from tests.bench.rules import multiplied
from tests.bench.sides.findings import found
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import Work, each, in_turn

RULES = (1, 2, 4)
CONNECTORS = (1, 2, 10)
MOST_TIMES = 2  # the time of an answer from ten times the connectors
_SEED = 7


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure derivation with more rules, then answers with more connectors."""
    most = max(len(RULES), len(CONNECTORS))
    asked = lines(_SEED, sizes.few * (sizes.runs + 1) * most)
    batches = [asked[at : at + sizes.few] for at in range(0, len(asked), sizes.few)]
    yield from _with_rules(sizes, batches)
    yield from _with_connectors(sizes, batches)


def _with_rules(sizes: Sizes, batches: Sequence[Sequence[bytes]]) -> Iterator[Row]:
    upcoming = iter([[read_question(orjson.loads(line)).question for line in some] for some in batches])

    def deriving(engine: Engine) -> Work:
        return lambda: [found(engine, question) for question in next(upcoming)]

    seconds = in_turn({str(times): deriving(Engine(multiplied(times))) for times in RULES}, sizes.runs)
    alone = Row("", each(seconds["1"], sizes.few), "µs")
    for times in RULES[1:]:
        yield Row(
            f"growth with rules (x{times}, and as many firings): findings with proofs, a question",
            each(seconds[str(times)], sizes.few),
            "µs",
            against=("that of the shipped", alone),
        )


def _with_connectors(sizes: Sizes, batches: Sequence[Sequence[bytes]]) -> Iterator[Row]:
    upcoming = iter(batches)

    def answering(chooser: Chooser) -> Work:
        chooser.warm_up()
        return lambda: answer_all(chooser, next(upcoming), "brief")

    with tempfile.TemporaryDirectory() as folder:
        choosers = {str(times): Chooser(_rulesets(Path(folder) / str(times), times)) for times in CONNECTORS}
        seconds = in_turn({times: answering(chooser) for times, chooser in choosers.items()}, sizes.runs)
    alone = Row("", each(seconds["1"], sizes.few), "µs")
    for times in CONNECTORS[1:]:
        what = f"growth with connectors (x{times}): a cold answer, brief"
        values = each(seconds[str(times)], sizes.few)
        if times == CONNECTORS[-1]:
            yield Row(what, values, "µs", Figure(MOST_TIMES * alone.median, most=True, words=f"{MOST_TIMES} x shipped"))
        else:
            yield Row(what, values, "µs", against=("that of the shipped", alone))


def _rulesets(folder: Path, times: int) -> Path:
    """Give a copy of the shipped rulesets with each connector so many times over, under ids of their own."""
    shutil.copytree(shipped.folder("rulesets"), folder)
    path = folder / "catalogues" / "shop.yaml"
    plain = read_yaml(path.read_bytes()).value
    copies = [
        {**connector, "id": f"{connector['id']}-{at}"} for at in range(1, times) for connector in plain["connectors"]
    ]
    plain["connectors"] += copies
    path.write_bytes(orjson.dumps(plain))  # which is YAML too, without aliases for what is repeated
    return folder
