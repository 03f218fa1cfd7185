"""`splicewright job FILE`: takeoff and stock plan of a whole job."""

from __future__ import annotations

import click

from splicewright.cli.input import fail_refused, located, read_document, tell, without_notes
from splicewright.cli.late_patterns import import_marshmallow
from splicewright.cli.project import chooser_of_command
from splicewright.refusals import Refused

EPILOG = """A job in its smallest form: {joints: [{quantity: 24, joint: {conductors: [{size: 12 AWG, count: 3}]}}]}"""


@click.command("job", epilog=EPILOG)
@click.argument("file", default="-")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print the answer.")
@click.option("--details", is_flag=True, help="Tell each caution, and each default that was filled in.")
def command(file: str, form: str, *, details: bool) -> None:
    """Decide the joints and boxes of the job in FILE (JSON or YAML; - is standard input) and take off what it needs.

    Problems come first, then the takeoff, then (where the job has a stock) the plan of what to carry. Exits with 0
    where there is no problem, with 1 where a joint or box has one, with 2 for a job that is not valid as a whole.
    """
    import_marshmallow()
    import orjson

    from splicewright.job import plan_job
    from splicewright.reports.job import print_job

    document = read_document(file)
    try:
        answer = plan_job(without_notes(document.value), chooser_of_command())
    except Refused as error:
        fail_refused(file, document, error)
    if form == "json":
        click.echo(orjson.dumps(answer, option=orjson.OPT_INDENT_2))
    else:
        print_job(answer, details=details)
    for problem in answer["problems"]:
        for one in problem.get("errors", ()):
            tell(located(file, document, one["pointer"], one["says"]))
    raise SystemExit(1 if answer["problems"] else 0)
