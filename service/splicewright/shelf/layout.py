"""The sheets of a shelf's workbook and their columns: field by field those of a catalogue file.

A heading is what stands above a column; case, spaces, hyphens and underscores don't matter. `key` is the field that it
is read into, `kind` how a cell of it is read (`cells.py`).
"""

from __future__ import annotations

import functools
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal, cast

from splicewright.catalogue.schema import FIGURES, LISTED
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL, METHODS
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.sheets.columns import normal

CellKind = Literal[
    "id", "text", "word", "words", "flag", "whole", "number", "day", "volts", "temperature", "amps", "length", "torque",
    "outside", "size", "sizes", "metal", "label", "figure", "value",
]  # fmt: skip
_YES_NO = ("yes", "no")
_UNITS: Mapping[str, str] = {
    "volts": "with the unit: 600 V",
    "temperature": "with the unit: 90 degC or 194 degF",
    "amps": "with the unit: 20 A",
    "length": "with the unit: 1/2 in, 0.5 in, 13 mm or 1.3 cm",
    "torque": "with the unit: 35 lbf-in (also in-lb or lb-in), 20 lbf-ft or 4 N m",
    "outside": "two for a round body, three for another, one unit: 1.2 x 0.7 in, 30 x 18 x 18 mm",
    "size": "with the unit: 12 AWG, 4/0 AWG, 250 kcmil or 2.5 mm2",
    "sizes": "one size, or from the smallest to the largest: 18 AWG to 12 AWG",
    "metal": "with the unit: 8.5 mm2, 16520 cmil or 16.52 kcmil",
    "flag": "yes or no; blank where the carton does not say",
    "whole": "a whole number",
    "number": "a number",
    "day": "a day: 2026-11-30",
    "words": "words with commas between",
    "id": "your own short name in small letters and hyphens: our-twist-on-small",
    "label": "a number or letter",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the field it is read into, how a cell is read, and what is told of it."""

    heading: str
    key: str
    kind: CellKind
    about: str
    words: Collection[str] = ()
    required: bool = False

    @property
    def written(self) -> str:
        """How a cell of it is written; empty where any text does."""
        return _UNITS.get(self.kind, "")

    @property
    def note(self) -> str:
        """What stands in the note on the heading: what it is, and how it is written."""
        return "; ".join(filter(None, (self.told, "needed" if self.required else "")))

    @property
    def told(self) -> str:
        """What it is, and how it is written."""
        return "; ".join(filter(None, (self.about, self.written)))

    @property
    def offered(self) -> tuple[str, ...]:
        """The words that are offered in each cell."""
        return _YES_NO if self.kind == "flag" else tuple(self.words)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its name, what a row of it is, and its columns."""

    name: str
    row: str
    columns: tuple[Column, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """The fields of its columns."""
        return tuple(column.key for column in self.columns)

    @property
    def needed(self) -> frozenset[str]:
        """The fields that every row of it says."""
        return frozenset(column.key for column in self.columns if column.required)


def _connector(row: str = "the connector that the row is of, as on the sheet connectors") -> Column:
    return Column("connector", "id", "id", row, required=True)


_MATERIAL = Column("material", "materials", "words", "the metals of the conductors", MATERIAL)
_CONSTRUCTION = Column("construction", "constructions", "words", "how they are built up", CONSTRUCTION)
_ENDS = Column("ends", "ends", "words", "what their ends are like; plain where nothing is said", END)
_KINDS = (_CONSTRUCTION, _MATERIAL, _ENDS)
_GROUP = Column(
    "group", "group", "label", "only where a carton has several charts: a number for each; blank where there is one"
)


def _attribute(name: str) -> Column:
    kind = ATTRIBUTES[name]
    # Each kind of fact that a listing states is a kind of cell, under the same name.
    return Column(name.replace("_", " "), name, cast("CellKind", kind.kind), kind.about, kind.words)


#: What most cartons say; the other attributes of a listing stand behind.
_FIRST = (
    "places", "volts", "luminaire_volts", "degrees", "amps", "insulated", "reusable", "irreversible", "grounding",
    "tool",
)  # fmt: skip
_LATER = tuple(name for name in LISTED if name not in ("method", *_FIRST))

CONNECTORS = Sheet(
    "connectors",
    "a connector",
    (
        _connector("your own name for it"),
        Column("method", "method", "word", "how it joins", METHODS, required=True),
        Column("about", "about", "text", "what it is, for people"),
        Column("name", "name", "text", "what people call it"),
        Column("part number", "part_number", "text", "as you order it"),
        *map(_attribute, _FIRST),
        Column("strip", "strip", "length", "how far to strip, where it is one figure for all sizes"),
        Column("outside", "outside", "outside", "outside dimensions"),
        Column("pack", "pack", "whole", "how many are in a pack"),
        Column("price", "price", "number", "of one pack, in your money"),
        Column("on hand", "on_hand", "whole", "how many you have"),
        Column("source", "source.document", "text", "what you read: the carton, a sheet, a page"),
        Column("read on", "source.read_on", "day", "when you read it"),
        Column("where", "source.where", "text", "where in it"),
        Column("read by", "source.read_by", "text", "who read it"),
        Column("sure", "sure", "flag", "yes where what is unusual in it was looked at again, and the carton says so"),
        Column("minutes", "minutes", "number", "your own minutes for one joint"),
        Column("torque", "torque", "torque", "what it is tightened to, where it is one figure for all sizes"),
        *map(_attribute, _LATER),
        Column("construction", "constructions", "words", "of all its rows that do not say it", CONSTRUCTION),
        Column("material", "materials", "words", "of all its rows that do not say it", MATERIAL),
        Column("ends", "ends", "words", "of all its rows that do not say it", END),
    ),
)
FILLINGS = Sheet(
    "fillings",
    "like conductors of one filling",
    (
        _connector(),
        Column(
            "filling", "filling", "label", "a number: rows of one connector with the same one are in it together",
            required=True,
        ),
        Column("size", "size", "size", "of these conductors", required=True),
        *_KINDS,
        Column("at least", "least", "whole", "how many of them at least", required=True),
        Column("at most", "most", "whole", "how many of them at most", required=True),
        _GROUP,
    ),
)  # fmt: skip
METAL = Sheet(
    "metal",
    "a listing by total metal",
    (
        _connector(),
        Column("metal from", "from", "metal", "the least metal of all conductors together", required=True),
        Column("metal to", "to", "metal", "the most metal of all conductors together", required=True),
        Column("ends from", "least", "whole", "how many conductors at least", required=True),
        Column("ends to", "most", "whole", "how many conductors at most", required=True),
        Column("thinnest", "thinnest", "size", "the thinnest that may be among them", required=True),
        Column("thickest", "thickest", "size", "the thickest that may be among them", required=True),
        _MATERIAL,
        _CONSTRUCTION,
        _ENDS,
        _GROUP,
    ),
)
PORTS = Sheet(
    "ports",
    "sizes that a kind of port takes",
    (
        _connector(),
        Column("ports", "count", "whole", "how many such ports it has", required=True),
        Column("sizes", "sizes", "sizes", "that one of them takes", required=True),
        Column("per port", "conductors", "whole", "how many conductors go into one; 1 where nothing is said"),
        _MATERIAL,
        _CONSTRUCTION,
        _ENDS,
        Column("strip", "strip", "length", "how far to strip for these ports"),
        Column("torque", "torque", "torque", "what these ports are tightened to"),
        Column("port", "port", "label", "a number: rows of one connector with the same one are the same ports"),
        Column("at least", "least", "whole", "the fewest conductors that it is for; 1 where nothing is said"),
        _GROUP,
    ),
)
FIGURE_ROWS = Sheet(
    "figures",
    "a figure that depends on size or metal",
    (
        _connector(),
        Column("figure", "figure", "figure", "which figure", tuple(FIGURES), required=True),
        Column("sizes", "sizes", "sizes", "of conductors that it is for; blank for all"),
        Column("material", "materials", "words", "of conductors that it is for; blank for all", MATERIAL),
        Column("value", "value", "value", "the figure, with its unit", required=True),
    ),
)
#: What is said of all connectors beside their minutes.
OF_ALL = ("note", "unstated", "demo")
#: What is said once for all of them; the sheet may be left out.
CATALOGUE = Sheet(
    "catalogue",
    "something said of all connectors",
    (
        Column("what", "what", "text", f"{', '.join(OF_ALL)}, or minutes and a method", required=True),
        Column("value", "value", "value", "what is said", required=True),
    ),
)
#: Those that say what a connector takes.
TAKES = (FILLINGS, METAL, PORTS)
SHEETS = (CONNECTORS, *TAKES, FIGURE_ROWS, CATALOGUE)
#: What this program writes beside them, for people.
BESIDE = ("carton", "words")
#: The examples of a new workbook; the text that marks each.
EXAMPLES = ("example-twist-on", "example-lever", "example-set-screw")
EXAMPLE_SAYS = "EXAMPLE, invented: delete its rows on every sheet"


@functools.cache
def sheet_called(name: str) -> Sheet | None:
    """Give the sheet of a name, whatever its case."""
    return next((sheet for sheet in SHEETS if sheet.name == normal(name)), None)


def by_heading(sheet: Sheet) -> Mapping[str, Column]:
    """Give the columns of a sheet by their headings as they are compared."""
    return {normal(column.heading): column for column in sheet.columns}
