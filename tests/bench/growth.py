"""How the time grows with the rules and with the connectors."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import orjson
import yaml

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.engine import Engine
from tests.bench.answers import cold_seconds
from tests.bench.derivation import prepared, written_out
from tests.bench.rules import multiplied
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import each, in_turn

RULES = (1, 2, 4)
CONNECTORS = (1, 2, 10)
MOST_TIMES = 2  # the time of an answer from ten times the connectors
_SEED = 7


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure derivation with more rules, then answers with more connectors."""
    yield from _with_rules(sizes)
    yield from _with_connectors(sizes)


def _with_rules(sizes: Sizes) -> Iterator[Row]:
    batches = prepared(sizes)
    count = len(batches[0])
    engines = {times: Engine(multiplied(times)) for times in RULES}
    found = in_turn({str(times): written_out(engine, batches) for times, engine in engines.items()}, sizes.runs)
    alone = Row("", each(found["1"], count), "µs")
    for times in RULES[1:]:
        yield Row(
            f"growth with rules (x{times}, and as many firings): findings with proofs, a question",
            each(found[str(times)], count),
            "µs",
            against=("that of the shipped", alone),
        )


def _with_connectors(sizes: Sizes) -> Iterator[Row]:
    with tempfile.TemporaryDirectory() as folder:
        choosers = [Chooser(_rulesets(Path(folder) / str(times), times)) for times in CONNECTORS]
        found = cold_seconds(choosers, "brief", sizes, _SEED)
    alone = Row("", each(found[0], sizes.questions), "µs")
    for times, seconds in list(zip(CONNECTORS, found, strict=True))[1:]:
        what = f"growth with connectors (x{times}): a cold answer, brief"
        values = each(seconds, sizes.questions)
        if times == CONNECTORS[-1]:
            yield Row(what, values, "µs", Figure(MOST_TIMES * alone.median, most=True, words=f"{MOST_TIMES} x shipped"))
        else:
            yield Row(what, values, "µs", against=("that of the shipped", alone))


def _rulesets(folder: Path, times: int) -> Path:
    """Give a copy of the shipped rulesets with each connector so many times over, under ids of their own."""
    shutil.copytree(shipped.folder("rulesets"), folder)
    path = folder / "catalogues" / "shop.yaml"
    plain = yaml.safe_load(path.read_bytes())
    copies = [{**one, "id": f"{one['id']}-{at}"} for at in range(1, times) for one in plain["connectors"]]
    plain["connectors"] += copies
    path.write_bytes(orjson.dumps(plain))  # which is YAML too, without aliases for what is repeated
    return folder
