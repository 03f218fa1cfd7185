"""Catalogues and words for people."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rich.markup import escape
from rich.table import Table

from splicewright.reports.screen import screen

if TYPE_CHECKING:
    from splicewright.catalogue.model import Catalogue, Connector
    from splicewright.wordlists import WordList


def print_headings(catalogues: Iterable[Catalogue]) -> None:
    """Print one line a catalogue."""
    table = _table("catalogue", "connectors", "what it is")
    for one in catalogues:
        table.add_row(one.name, str(len(one.connectors)), escape(one.note))
    with screen() as out:
        out.print(table)


def print_connectors(catalogue: Catalogue, connectors: Iterable[Connector]) -> None:
    """Print one line a connector: its id, its method, and what its listing says that it takes."""
    table = _table("connector", "method", "takes")
    for one in connectors:
        table.add_row(one.id, one.method, escape(_takes(one)))
    with screen() as out:
        out.print(f"{catalogue.name}: {escape(catalogue.note)}\n{catalogue.digest}\n")
        out.print(table)


def _takes(connector: Connector) -> str:
    told = []
    for one in connector.plain()["takes"]:
        parts = [*one.get("ports", ()), *one.get("combinations", ())]
        kinds = [" or ".join(one[key]) for key in ("constructions", "materials") if key in one]
        told.append(", ".join(parts) + (f" ({', '.join(kinds)})" if kinds else ""))
    return "; ".join(told)


def print_word_lists(lists: Iterable[WordList]) -> None:
    """Print one line a list: its name, what it says, its words."""
    table = _table("list", "says", "words")
    for one in lists:
        table.add_row(one.name, escape(one.about), escape(" ".join(one.words)))
    with screen() as out:
        out.print(table)


def print_words(of: WordList) -> None:
    """Print the words of one list with their meanings, and where they go."""
    table = _table(of.name, "means")
    for word, means in of.words.items():
        table.add_row(word, escape(means))
    with screen() as out:
        out.print(escape(of.about))
        for place in of.at:
            out.print(escape(f"goes to {place.call} {place.pointer}"))
        out.print()
        out.print(table)


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading in headings:
        table.add_column(heading, overflow="fold", justify="right" if heading == "connectors" else "left")
    return table
