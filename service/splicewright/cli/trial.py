"""`splicewright rules try`: files of rules and catalogues tried before anyone relies on them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from splicewright.cli.input import fail, tell
from splicewright.cli.project import chooser_of_command
from splicewright.cli.waiting import waiting


@click.command("try")
@click.argument("files", metavar="FILE…", nargs=-1, required=True)
@click.option(
    "--on", "beneath", metavar="CODE[+AMENDMENT…][@CATALOGUE]", help="What they are laid on; else that of the project."
)
@click.option("--questions", "paths", metavar="FILE", multiple=True, help="Jobs, tables, NDJSON: what changes in them?")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
def command(files: Sequence[str], beneath: str | None, paths: Sequence[str], form: str) -> None:
    """Try amendments and catalogues: all that is wrong, their examples, and what they change.

    They are tried in a process of their own, with bounded time and memory. Faults are told as file:line: rule: what is
    wrong. Of rules that are valid it tells what is probably not meant. Exits with 0, with 2 where there is a fault.
    """
    import orjson

    from splicewright.refusals import Refused
    from splicewright.reports.trial import print_trial
    from splicewright.trials.trying import TrialFaults, try_files
    from splicewright.units import counted

    chooser = chooser_of_command()
    sent = [{"name": name, "text": _text(name)} for name in files]
    asked: dict[str, Any] = {"files": sent}
    if beneath is not None:
        asked |= _stack(beneath)
    try:
        with waiting("trying"):
            told = try_files(asked, chooser, paths)
    except TrialFaults as error:
        found = error.faults
        if form == "json":
            click.echo(orjson.dumps({"errors": found}, option=orjson.OPT_INDENT_2))
        tell(*(_fault(one) for one in found))
        fail(counted(len(found), "fault"))
    except Refused as error:
        fail(*(f"{one.pointer}: {one.says}" for one in error.problems))
    if form == "json":
        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    else:
        print_trial(told)


def _stack(beneath: str) -> dict[str, Any]:
    """Give what files are tried on: amendments by name, or from files."""
    from splicewright.document import is_file
    from splicewright.faults import Faults
    from splicewright.impact.stacks import StackName

    try:
        stack = StackName.read(beneath)
    except Faults as error:
        fail(*(f"--on: {fault}" for fault in error.faults))
    if stack.catalogue is not None and is_file(stack.catalogue):
        fail(f"--on: {stack.catalogue}: name a catalogue here; one of a file is tried as FILE")
    names = [Path(one).stem if is_file(one) else one for one in stack.amendments]
    own = [one for one in stack.amendments if is_file(one)]
    laid = [{"name": Path(one).stem, "file": one, "text": _text(one)} for one in own]
    found = {"code": stack.code, "amendments": names, "laid": laid}
    return found if stack.catalogue is None else {**found, "catalogue": stack.catalogue}


def _text(name: str) -> str:
    from splicewright.trials.schema import LONGEST_FILE

    try:
        with Path(name).open("rb") as stream:
            content = stream.read(LONGEST_FILE + 1)
        if len(content) > LONGEST_FILE:
            fail(f"{name}: is larger than {LONGEST_FILE:,} bytes")
        return content.decode()
    except OSError as error:
        fail(f"{name}: {error.strerror}")
    except UnicodeDecodeError:
        fail(f"{name}:1: is not UTF-8 text")


def _fault(one: Mapping[str, Any]) -> str:
    where = f"{one['file']}:{one['line']}" if one["line"] else str(one["file"])
    return ": ".join(str(each) for each in (where, one["part"], one["says"]) if each)
