"""`splicewright catalogue check`: listings looked through for what was misread or typed wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from splicewright.cli.input import fail, read_document
from splicewright.cli.project import chooser_of_command

if TYPE_CHECKING:
    from splicewright.catalogue.checking import ListingFault


@click.command("check")
@click.argument("files", nargs=-1, metavar="[FILE]…")
@click.option("--strict", is_flag=True, help="Exit with 1 for warnings too.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
def check(files: tuple[str, ...], form: str, *, strict: bool) -> None:
    """Look through catalogue files and tables that one is entered in; without a FILE, those of the project.

    Of a folder all of them are meant. Tells what can't be read, what contradicts itself, and what was perhaps misread:
    each with its line, or its cell where it was imported, and what to look for on the carton. Exits with 1 where
    anything is an error.
    """
    import orjson

    from splicewright.catalogue.checking import check_listing
    from splicewright.shelf.table_files import are_tables

    named = tuple(one for name in files for one in _files(name)) or _of_project()
    found: list[ListingFault] = []
    for name in named:
        if are_tables(Path(name)):
            found += _in_tables(name)
            continue
        if name not in files:
            found += _of_name(name)
        document = read_document(name)
        found += check_listing(type(document)(document.value, document.where, name))
    errors = sum(fault.level == "error" for fault in found)
    if form == "json":
        told = {"files": list(named), "faults": [fault.to_dict() for fault in found]}
        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    else:
        for fault in found:
            click.echo(str(fault))
        click.echo(_count(len(named), errors, len(found) - errors))
    if errors or (strict and found):
        raise SystemExit(1)


def _files(name: str) -> Iterator[str]:
    """Give all that a folder holds, tables and catalogue files; what is no folder, or an empty one, as it is."""
    from splicewright.document import is_yaml
    from splicewright.shelf.table_files import tables_in

    path = Path(name)
    try:
        files = sorted(path.iterdir()) if path.is_dir() else []
        each = [*tables_in(path), *(one for one in files if is_yaml(one.name))] if files else []
    except OSError as error:
        fail(f"{name}: {error.strerror or error}")
    yield from map(str, each or [path])


def _of_name(name: str) -> Iterator[ListingFault]:
    """Tell where a file of a folder is called otherwise than a project calls its catalogues."""
    from splicewright.catalogue.checking import ListingFault
    from splicewright.document import ENDING

    path = Path(name)
    if path.suffix != ENDING:
        says = f"a project with this folder is refused for it; call it {path.stem}{ENDING}, or put it elsewhere"
        yield ListingFault(name, 0, "", "", "", "warning", says)


def _in_tables(name: str) -> Iterator[ListingFault]:
    """Look through a workbook or a folder of CSV files as `import` does. Exits with 2 where it is none."""
    from splicewright.catalogue.checking import ListingFault
    from splicewright.sheets.table import NoTable
    from splicewright.shelf.importing import Doubt, import_shelf

    try:
        read = import_shelf(Path(name), "checked")
    except NoTable as error:
        fail(f"{name}: {error.says}")
    except OSError as error:
        fail(f"{name}: {error.strerror or error}")
    for level, (cell, says, connector), look in (*(Doubt("error", one, "") for one in read.faults), *read.doubts):
        yield ListingFault(name, 0, f"{name} {cell}", connector, cell.heading, level, str(says), look)


def _of_project() -> tuple[str, ...]:
    project = chooser_of_command().holding.project
    if project is None or not project.shelf:
        fail("name a catalogue file to check; no project has one here")
    return tuple(str(project.catalogue_file(name)) for name, _ in project.shelf)


def _count(files: int, errors: int, warnings: int) -> str:
    from splicewright.units import counted

    return f"{counted(files, 'file')}: {counted(errors, 'error')}, {counted(warnings, 'warning')}"
