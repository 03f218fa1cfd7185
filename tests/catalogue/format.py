"""Writes what is made of the declarations of the catalogue format: its JSON Schema, and the tables of its page.

python -m tests.catalogue.format
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import orjson
from marshmallow import Schema, fields

from splicewright.catalogue.carton import look_for_column
from splicewright.catalogue.json_schema import catalogue_json_schema
from splicewright.catalogue.schema import CatalogueSchema, ConnectorSchema, Figures, SourceSchema
from splicewright.catalogue.take_schema import MetalSchema, PortSchema, TakeSchema
from splicewright.strict_fields import Flag, Word, Words
from tests.scratch import ROOT

FOLDER = ROOT / "rulesets" / "catalogues"
PAGE, SCHEMA = FOLDER / "README.md", FOLDER / "catalogue.schema.json"
_BLOCK = re.compile(r"(<!-- made: keys -->\n).*?(<!-- end -->)", re.DOTALL)
_PARTS: list[tuple[str, type[Schema]]] = [
    ("The file", CatalogueSchema),
    ("A connector", ConnectorSchema),
    ("A group of `takes`", TakeSchema),
    ("A kind of `ports`", PortSchema),
    ("A total of `metal`", MetalSchema),
    ("Its `source`", SourceSchema),
]


def schema_text() -> bytes:
    """Give the JSON Schema as its file has it."""
    return orjson.dumps(catalogue_json_schema(), option=orjson.OPT_INDENT_2) + b"\n"


def page_text(page: str) -> str:
    """Give the page with its tables made anew."""
    tables = "\n".join(f"## {title}\n\n{_table(schema())}\n" for title, schema in _PARTS)
    return _BLOCK.sub(lambda found: f"{found[1]}{tables}{found[2]}", page)


def _table(schema: Schema) -> str:
    lines = ["| key | what it is | words | on the carton |", "|---|---|---|---|"]
    return "\n".join([*lines, *_rows(schema)])


def _rows(schema: Schema) -> Iterator[str]:
    for key, field in schema.fields.items():
        name = f"`{key}`" + " (required)" * bool(field.required)
        about = field.metadata.get("description", "")
        looked = look_for_column("", "", key)
        if isinstance(field, Figures):
            about = f"{about} One figure, or by size and metal."
        if not about and key in ("solid", "stranded", "fine-stranded"):
            about = "The sizes taken so: `{from: 20 AWG, to: 12 AWG}`, with `materials` and `ends` where they differ."
        yield f"| {name} | {about} | {_words(field)} | {looked} |"


def _words(field: fields.Field[object]) -> str:
    if isinstance(field, Flag):
        return "`true`, `false`"
    words: Iterable[str] = field.words if isinstance(field, Word | Words) else ()
    return ", ".join(f"`{word}`" for word in words)


def written() -> dict[Path, bytes]:
    """Give each file as it is to be."""
    return {SCHEMA: schema_text(), PAGE: page_text(PAGE.read_text("utf-8")).encode()}


if __name__ == "__main__":
    for path, text in written().items():
        path.write_bytes(text)
