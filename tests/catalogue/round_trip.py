"""A catalogue written as tables and read again: the same file, and the same answers.

`python -m tests.catalogue.round_trip 5000` asks so many random questions of `shop` as it is, as a workbook and as CSV
files, and tells whether every answer is the same, byte for byte.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterator, Mapping
from typing import Any

import orjson

from splicewright.answering import Chooser
from splicewright.catalogue import catalogue_of
from splicewright.refusals import Refused
from splicewright.shelf.exporting import exported_files, exported_workbook
from splicewright.shelf.importing import imported
from splicewright.shelf.listings import listings_of
from splicewright.shelf.named import plain_catalogue
from splicewright.shelf.tables import Tables, tables_in_files, tables_in_workbook
from tests.choice.likely import likely_given

Plain = dict[str, Any]


def read_again(catalogue: Mapping[str, Any]) -> dict[str, Plain]:
    """Give a catalogue as it is read from a workbook, and from CSV files, without where it was read."""
    name = catalogue["catalogue"]
    return {
        "xlsx": _plain(tables_in_workbook(exported_workbook(catalogue, name), "xlsx"), name),
        "csv": _plain(tables_in_files(exported_files(catalogue, name)), name),
    }


def _plain(tables: Tables, name: str) -> Plain:
    found = imported(listings_of(tables), name, name)
    assert found.catalogue is not None, found.faults
    return without_places(found.catalogue)


def without_places(catalogue: Mapping[str, Any]) -> Plain:
    """Leave out where a catalogue and its connectors were read."""
    connectors = [{key: one for key, one in each.items() if key != "from"} for each in catalogue["connectors"]]
    return {**{key: one for key, one in catalogue.items() if key != "from"}, "connectors": connectors}


def unlike_answers(catalogue: Mapping[str, Any], questions: int, start: int = 0) -> Iterator[Plain]:
    """Ask random questions of a catalogue as it is and as it is read again; give those that are answered otherwise."""
    chooser = Chooser()
    holding = chooser.holding
    others = []
    for plain in read_again(catalogue).values():
        other = Chooser()
        other.use(holding.with_catalogue(catalogue_of(plain)))
        others.append(other)
    rng = random.Random(start)
    for _ in range(questions):
        given = {**likely_given(rng), "catalogue": catalogue["catalogue"]}
        answer = _answer(chooser, given)
        if any(_answer(other, given) != answer for other in others):
            yield given


def _answer(chooser: Chooser, given: Plain) -> bytes:
    try:
        return orjson.dumps(chooser.choose(given))
    except Refused as error:
        return str(error).encode()


def main(count: int) -> int:
    """Ask so many questions of `shop`."""
    begin = time.perf_counter()
    shop = plain_catalogue("shop", Chooser().holding)
    again = read_again(shop)
    same = again["xlsx"] == again["csv"] == read_again(again["xlsx"])["xlsx"]
    print(f"shop as xlsx and as csv: {'the same file' if same else 'ANOTHER file'}")
    unlike = list(unlike_answers(shop, count))
    for given in unlike[:5]:
        print(orjson.dumps(given).decode())
    print(f"{count:,} questions, {len(unlike):,} answered otherwise, {time.perf_counter() - begin:.1f} s")
    return 1 if unlike or not same else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 5000))
