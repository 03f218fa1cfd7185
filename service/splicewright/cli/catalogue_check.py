"""`splicewright catalogue check`: listings looked through for what was misread or typed wrong."""

from __future__ import annotations

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
    """Look through catalogue files; without a FILE, those of the project.

    Tells what can't be read, what contradicts itself, and what was perhaps misread: each with its line, or its cell
    where it was imported, and what to look for on the carton. Exits with 1 where anything is an error.
    """
    import orjson

    from splicewright.catalogue.checking import check_listing

    named = files or _of_project()
    found: list[ListingFault] = []
    for name in named:
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


def _of_project() -> tuple[str, ...]:
    project = chooser_of_command().holding.project
    if project is None or not project.shelf:
        fail("name a catalogue file to check; no project has one here")
    return tuple(str(project.catalogue_file(name)) for name, _ in project.shelf)


def _count(files: int, errors: int, warnings: int) -> str:
    from splicewright.units import counted

    return f"{counted(files, 'file')}: {counted(errors, 'error')}, {counted(warnings, 'warning')}"
