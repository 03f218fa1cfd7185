"""`--columns "Wire=size,Qty=count"`: which of its columns each heading of a user's own is."""

from __future__ import annotations

from typing import Any

import click

from splicewright.cli.input import fail


def mapped_columns(command: Any) -> Any:
    """Give a command `--columns`."""
    told = 'Headings of your own tables, each with the column that it is: "Wire=size,Note=#" (# passes it over).'
    return click.option("--columns", metavar="HEADING=COLUMN,…", default="", callback=_columns, help=told)(command)


def _columns(_context: click.Context, _option: click.Parameter, value: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for one in filter(None, map(str.strip, value.split(","))):
        heading, sign, column = map(str.strip, one.rpartition("="))
        if not (heading and sign and column):
            fail(f"--columns: {one!r} names no column; write it like 'Wire=size'")
        _check(column)
        found[heading] = column
    return found


def _check(column: str) -> None:
    from splicewright.refusals import shown
    from splicewright.sheets.columns import PASSED, by_heading, nearest_column, normal

    if column != PASSED and normal(column) not in by_heading():
        guess = nearest_column(column)
        hint = f"did you mean {guess!r}?" if guess else "`splicewright template` writes them all"
        fail(f"--columns: there is no column {shown(column)}; {hint}")
