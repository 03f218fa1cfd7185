"""`splicewright box FILE`: the fill of a box, and the joints in it."""

from __future__ import annotations

from typing import Any

import click

from splicewright.cli.input import fail_refused, included, located, read_document, tell, without_notes
from splicewright.cli.late_patterns import import_marshmallow
from splicewright.cli.project import amending, chooser_of_command, project_of_command
from splicewright.cli.sheet_report import SheetOptions, sheet_options, sheet_report
from splicewright.refusals import Refused

EPILOG = """A box in its smallest form: {box: {name: 4 x 1-1/2 square}, wires: [{size: 12 AWG, count: 6}]}"""


@click.command("box", epilog=EPILOG)
@click.argument("file", default="-")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print the answer.")
@included
@click.option("--all", "everything", is_flag=True, help="Tell the sections of the box, larger boxes and each default.")
@sheet_report
@amending
def command(
    file: str,
    form: str,
    include: tuple[str, ...],
    reports: tuple[str, ...],
    language: str | None,
    *,
    everything: bool,
    with_prices: bool,
) -> None:
    """Reckon the fill of the box in FILE (JSON or YAML; - is standard input), and decide the joints in it.

    Exits with 0 where the box holds everything and every joint has an option, with 1 where something falls short or
    can't be judged, with 2 for bad input. With no box in FILE it tells what is needed and which boxes would do.
    """
    import_marshmallow()
    import orjson

    from splicewright.box import fill_box
    from splicewright.reports.box import print_box

    sheet = sheet_options(reports, language, with_prices=with_prices)
    document = read_document(file)
    asked = without_notes(document.value)
    if isinstance(asked, dict) and form == "text":
        asked = {**asked, "explain": "brief", "include": ["cautions", "judged"]}
    elif isinstance(asked, dict) and include and asked.get("explain") is None and asked.get("include") is None:
        asked = {**asked, "include": list(include)}
    try:
        project = project_of_command()
        answer = fill_box(asked, None if project is None else chooser_of_command())
    except Refused as error:
        fail_refused(file, document, error)
    if sheet.places:
        _write_sheet(sheet, document.value, file)
    if form == "json":
        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    else:
        print_box(answer, everything=everything)
    for joint in answer["joints"]:
        for one in joint.get("errors", ()):
            tell(located(file, document, one["pointer"], one["says"]))
    raise SystemExit(0 if _good(answer) else 1)


def _write_sheet(sheet: SheetOptions, given: dict[str, Any], read: str) -> None:
    from pathlib import Path

    from splicewright.box.answer import fill_with_joints
    from splicewright.reports.work_sheet_pages import INCLUDED
    from splicewright.reports.work_sheet_sources import of_box

    chooser = chooser_of_command()
    asked = {**without_notes(given), "explain": "brief", "include": sorted(INCLUDED)}
    asking, asked = chooser.with_own_catalogue(asked)
    answer, decided = fill_with_joints(asked, asking)
    sheet.write(lambda: of_box(Path(read).stem, answer, decided, asking), read)


def _good(answer: dict[str, Any]) -> bool:
    fits = answer["fits"] or answer["volume"] is None
    joints = all(joint.get("outcome") == "options" for joint in answer["joints"])
    return bool(fits and joints and not answer["problems"] and not answer["referrals"])
