"""`splicewright rules impact`: which joints and boxes another stack answers otherwise, and by which of its changes."""

from __future__ import annotations

from collections.abc import Sequence

import click

from splicewright.cli.input import fail
from splicewright.cli.mapped_columns import mapped_columns
from splicewright.cli.project import chooser_of_command

_STACK = "CODE[+AMENDMENT…][@CATALOGUE]"


@click.command("impact")
@click.argument("paths", metavar="FILES…", nargs=-1, required=True)
@click.option("--from", "old", metavar=_STACK, required=True, help="What is asked now.")
@click.option("--to", "new", metavar=_STACK, required=True, help="What would be asked.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "json", "markdown", "sarif"]),
    default="table",
    help="How to print it.",
)
@click.option(
    "--fail-on",
    type=click.Choice(["never", "change", "decision"]),
    default="never",
    help="Exit with 1 where anything is told otherwise, or only where an outcome, a connector or a fit is another.",
)
@mapped_columns
def command(paths: Sequence[str], old: str, new: str, form: str, fail_on: str, columns: dict[str, str]) -> None:
    """Tell which joints and boxes of FILES and folders are answered otherwise by another stack, and why.

    FILES are questions, boxes, jobs, tables and NDJSON. A stack is a code edition, amendments laid over it and a
    catalogue: nfpa70-2017, nfpa70-2023+coastal-county+./our-firm.yaml@our-shelf. Amendments and catalogues are known by
    name, files by a slash or .yaml. Each change is tried alone, and the other stack without it, before it is told as a
    cause. Exits with 0, with 1 as --fail-on asks, with 2 for bad input.
    """
    import orjson

    from splicewright.cli.progress import Progress
    from splicewright.engine import UnfitRulebook
    from splicewright.impact.answer import impact_of
    from splicewright.impact.boxes import boxes_in
    from splicewright.impact.stacks import StackName, read_stack
    from splicewright.project.reading import columns_of
    from splicewright.reports.impact import impact_markdown, impact_sarif, print_impact
    from splicewright.shelf.joints import work_in

    holding = chooser_of_command().holding
    stacks = [read_stack(StackName.read(written), holding) for written in (old, new)]
    unsaid = holding.unsaid._replace(values={"catalogue": stacks[0].catalogue.name, **holding.unsaid.values})
    mapped = columns_of(holding.project, columns)
    joints = work_in(paths, unsaid, mapped)
    try:
        with Progress(sum(joint.count for joint in joints), quiet=False, of="joint") as progress:
            found = impact_of(stacks[0], stacks[1], joints, boxes_in(paths, unsaid, mapped), progress.watch)
    except UnfitRulebook as error:
        fail(f"{error.rule}: {error.says}")
    told = found.to_dict()
    if form == "json":
        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    elif form == "table":
        print_impact(told)
    else:
        click.echo({"markdown": impact_markdown, "sarif": impact_sarif}[form](told), nl=False)
    decided = told["decided"] or any(box.decided for box in found.boxes)
    raise SystemExit(1 if (fail_on == "change" and found.changed) or (fail_on == "decision" and decided) else 0)
