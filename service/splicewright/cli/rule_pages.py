"""`splicewright rules pages`: reference pages of the rules, as files."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.input import fail
from splicewright.cli.project import amending, chooser_of_command


@click.command("pages")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.option("--code", help="The code edition; else the one asked where a question names none.")
@amending
def command(folder: Path, code: str | None) -> None:
    """Write reference pages of the rules into FOLDER: index.html, and one page for each ruleset.

    They are plain HTML without scripts, the same as a server has at /rules. Pages of their names are written over.
    """
    from splicewright.cli.places import files_of, folder_rightly, keep_what_was_read
    from splicewright.question.vocabulary import CODES
    from splicewright.refusals import not_allowed
    from splicewright.rulebook.rule_pages import index_page, pages_of, ruleset_page
    from splicewright.units import counted
    from splicewright.whole_file import write_files

    folder_rightly(folder, "FOLDER")
    holding = chooser_of_command().holding
    code = code or str(holding.unsaid.values["code"])
    if code not in CODES:
        fail(f"--code: {not_allowed(code, CODES)}")
    book = holding.rulebook(code, holding.unsaid.values.get("amendments", ()))

    def address(name: str | None) -> str:
        return f"{name or 'index'}.html"

    made = {address(name): ruleset_page(book, name, address) for name in pages_of(book)}
    pages = {address(None): index_page(book, address, {}), **made}
    keep_what_was_read(files_of(holding.project), [folder / name for name in pages])
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_files(folder, {name: text.encode() for name, text in pages.items()})
    except OSError as error:
        fail(f"{error.filename or folder}: {error.strerror}")
    click.echo(f"{folder}: {counted(len(pages), 'page')}, from {folder / address(None)} on")
