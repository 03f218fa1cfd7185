"""Catalogues and words for people."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from splicewright.reports.page import page

if TYPE_CHECKING:
    from splicewright.catalogue.model import Catalogue, Connector
    from splicewright.form_vocabulary import WordList


def print_headings(catalogues: Iterable[Catalogue]) -> None:
    """Print one line a catalogue."""
    columns = [("catalogue", False), ("connectors", True), ("what it is", False)]
    with page() as out:
        out.table(
            columns,
            ((catalogue.name, str(len(catalogue.connectors)), catalogue.note) for catalogue in catalogues),
            whole=1,
        )


def print_connectors(catalogue: Catalogue, connectors: Iterable[Connector]) -> None:
    """Print one line a connector: its id, its method, and what its listing says that it takes."""
    columns = [("connector", False), ("method", False), ("takes", False)]
    with page() as out:
        out.line(f"{catalogue.name}: {catalogue.note}")
        out.line(catalogue.digest)
        out.line("")
        out.table(columns, ((connector.id, connector.method, _takes(connector)) for connector in connectors), whole=2)


def _takes(connector: Connector) -> str:
    told = []
    for take in connector.to_dict()["takes"]:
        parts = [*take.get("ports", ()), *take.get("combinations", ()), *take.get("metal", ())]
        kinds = [" or ".join(take[key]) for key in ("constructions", "materials") if key in take]
        told.append(", ".join(parts) + (f" ({', '.join(kinds)})" if kinds else ""))
    return "; ".join(told)


def print_word_lists(lists: Iterable[WordList]) -> None:
    """Print one line a list: its name, what it says, its words."""
    columns = [("list", False), ("says", False), ("words", False)]
    with page() as out:
        out.table(columns, ((one.name, one.about, " ".join(one.words)) for one in lists), whole=1)


def print_words(of: WordList) -> None:
    """Print the words of one list with their meanings, and where they go."""
    with page() as out:
        out.line(of.about)
        for call, pointer in of.at:
            out.line(f"goes to {call} {pointer}")
        out.line("")
        out.table([(of.name, False), ("means", False)], of.words.items(), whole=1)
