"""`splicewright catalogue new | import | export | check`: a shelf entered in tables, and held to account."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from splicewright.cli.input import fail
from splicewright.cli.project import chooser_of_command
from splicewright.cli.waiting import waiting

if TYPE_CHECKING:
    from splicewright.shelf.importing import Imported

_FORMAT = click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
_FORCE = click.option("--force", is_flag=True, help="Write over what is there.")
_PATH = click.Path(path_type=Path)
_WORKBOOK = ".xlsx"


@click.command("new")
@click.argument("path", type=_PATH)
@_FORCE
def new(path: Path, *, force: bool) -> None:
    """Write tables to enter connectors in: PATH.xlsx, or CSV files in the folder PATH.

    Each heading has a note with its units, each column its allowed words; three invented examples are to be deleted,
    and the sheet `carton` tells where on a carton each thing stands.
    """
    from splicewright.shelf.examples import EXAMPLE_ROWS
    from splicewright.shelf.workbook import csv_files, workbook

    if _is_workbook(path):
        _write(path, workbook(EXAMPLE_ROWS), force=force)
    else:
        _write_all(path, csv_files(EXAMPLE_ROWS), force=force)
    then = f"splicewright catalogue import {path} --output our-shelf.yaml"
    click.echo(f"{path}: enter your connectors, delete the examples, then: {then}")


@click.command("import")
@click.argument("path", type=_PATH)
@click.option("--output", type=_PATH, required=True, help="The catalogue file to write, such as shelf/our-shelf.yaml.")
@click.option(
    "--anyway",
    is_flag=True,
    help="Write what can be read though a look through it finds errors; no project answers from it so.",
)
@_FORCE
@_FORMAT
def import_tables(path: Path, output: Path, form: str, *, anyway: bool, force: bool) -> None:
    """Make a catalogue file of a workbook, PATH.xlsx or PATH.ods, or of CSV or TSV files in the folder PATH.

    It writes all of it, or nothing and tells every fault by its cell (fillings!B7). What is blank is unknown, not "no".
    What it reads it looks through as `check` does; an error of that kind, such as a listing that contradicts itself,
    keeps it from being written too. Exits with 0 where it was written, with 2 where something is wrong.
    """
    from splicewright.cli.places import keep_what_was_read
    from splicewright.sheets.table import NoTable
    from splicewright.shelf.importing import import_shelf
    from splicewright.shelf.yaml_form import yaml_of

    name = _name(output)
    keep_what_was_read([path, *(path.iterdir() if path.is_dir() else ())], [output])
    try:
        with waiting(f"reading {path}"):
            found = import_shelf(path, name)
    except NoTable as error:
        fail(f"{path}: {error.says}")
    except OSError as error:
        fail(f"{path}: {error.strerror or error}")
    if found.catalogue is None or (found.doubtful and not anyway):
        _refuse(path, found, form)
    _make(output.parent)
    _write(output, yaml_of(found.catalogue).encode(), force=force)
    if form == "json":
        _print_json(_told(found, str(output)))
    else:
        for note in found.notes:
            click.echo(f"{path}: note: {note}")
        for doubt in found.doubts:
            click.echo(f"{path}: {doubt}")
        click.echo(f"{output}: {_count(found.connectors)} of {path}")


def _refuse(path: Path, found: Imported, form: str) -> NoReturn:
    if form == "json":
        _print_json(_told(found, None))
        raise SystemExit(2)
    from splicewright.units import counted

    told = [f"{path}: {one}" for one in (*found.faults, *found.doubts)]
    number = len(found.faults) + sum(doubt.level == "error" for doubt in found.doubts)
    anyway = "" if found.faults else "; --anyway writes it all the same"
    fail(*told, f"{path}: {counted(number, 'fault')}; nothing was written{anyway}")


def _told(found: Imported, written: str | None) -> dict[str, Any]:
    return {
        "written": written,
        "connectors": found.connectors,
        "faults": [fault.to_dict() for fault in found.faults],
        "doubts": [doubt.to_dict() for doubt in found.doubts],
        "notes": list(found.notes),
    }


@click.command("export")
@click.argument("catalogue", metavar="NAME|FILE")
@click.option("--output", type=_PATH, required=True, help="PATH.xlsx, or a folder for CSV files.")
@_FORCE
def export(catalogue: str, output: Path, *, force: bool) -> None:
    """Write a catalogue as the tables that `import` reads to the same again.

    What is written is read once more first; where a table can't hold all of the catalogue, nothing is written.
    """
    from splicewright.cli.places import files_of, keep_what_was_read
    from splicewright.shelf.exporting import exported_files, exported_workbook
    from splicewright.shelf.named import file_named, plain_catalogue

    holding = chooser_of_command().holding
    plain = plain_catalogue(catalogue, holding)
    read = [file_named(catalogue, holding), *files_of(holding.project)]
    if _is_workbook(output):
        keep_what_was_read(read, [output])
        _write(output, exported_workbook(plain, catalogue), force=force)
    else:
        files = exported_files(plain, catalogue)
        keep_what_was_read(read, [output / name for name in files])
        _write_all(output, files, force=force)
    click.echo(f"{output}: {_count(len(plain['connectors']))} of {catalogue}")


def _count(connectors: int) -> str:
    from splicewright.units import counted

    return counted(connectors, "connector")


def _name(output: Path) -> str:
    from marshmallow import ValidationError

    from splicewright.catalogue.fields import Id
    from splicewright.document import ENDING

    if output.suffix != ENDING:
        fail(f"--output: {output}: a catalogue is a {ENDING} file")
    try:
        return Id().read(output.stem)
    except ValidationError as error:
        fail(f"--output: a catalogue is called like its file: {error.messages[0]}")


def _is_workbook(path: Path) -> bool:
    """Tell whether a workbook is meant, or a folder."""
    if path.suffix.lower() == _WORKBOOK:
        return True
    if path.suffix and not path.is_dir():
        fail(f"{path}: tables are a workbook, PATH.xlsx, or CSV files in a folder")
    return False


def _write(path: Path, data: bytes, *, force: bool) -> None:
    from splicewright.whole_file import write_whole

    try:
        write_whole(path, data, new=not force)
    except FileExistsError:
        fail(f"{path}: is there already; --force writes over it")
    except OSError as error:
        fail(f"{path}: {error.strerror}")


def _write_all(folder: Path, files: Mapping[str, bytes], *, force: bool) -> None:
    from splicewright.whole_file import write_files

    there = [name for name in files if (folder / name).exists()]
    if there and not force:
        fail(*(f"{folder / name}: is there already; --force writes over it" for name in there))
    _make(folder)
    try:
        write_files(folder, files)
    except OSError as error:
        fail(f"{error.filename}: {error.strerror}")


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        fail(f"{folder}: {error.strerror}")


def _print_json(told: dict[str, Any]) -> None:
    import orjson

    click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
