"""`splicewright template FILE`: an empty table of joints with its headings."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.input import fail


@click.command("template")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--force", is_flag=True, help="Write over FILE where it is there.")
def command(file: Path, *, force: bool) -> None:
    """Write a table of joints to fill in: FILE.csv or FILE.xlsx.

    It has every column that is read, with an invented example to write over. Columns may be left out, or stand in any
    order; a workbook offers the allowed words in each cell and tells what each column means on a second sheet.
    """
    from splicewright.sheets.template import WRITERS
    from splicewright.whole_file import write_whole

    write = WRITERS.get(file.suffix.lower())
    if write is None:
        fail(f"{file}: a table is a .csv or an .xlsx file")
    try:
        write_whole(file, write(), new=not force)
    except FileExistsError:
        fail(f"{file}: is there already; --force writes over it")
    except OSError as error:
        fail(f"{file}: {error.strerror}")
