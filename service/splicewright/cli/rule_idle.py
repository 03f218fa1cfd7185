"""`splicewright rules idle`: which rules change no answer on the joints of some files."""

from __future__ import annotations

from collections.abc import Sequence

import click

from splicewright.cli.input import fail
from splicewright.cli.mapped_columns import mapped_columns
from splicewright.cli.project import amending, chooser_of_command

_EVERY_S = 2.0


@click.command("idle")
@click.argument("paths", metavar="QUESTIONS…", nargs=-1, required=True)
@click.option("--code", help="Ask all under this code edition and the project's amendments.")
@click.option("--ruleset", help="Only rules of this ruleset, or of the amendment of this name.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
@amending
@mapped_columns
def command(paths: Sequence[str], code: str | None, ruleset: str | None, form: str, columns: dict[str, str]) -> None:
    """Tell which rules change no answer to QUESTIONS: questions, boxes, jobs, tables, NDJSON, and folders of them.

    Rules that fire on none of the joints, and rules that fire but without which each joint has the same outcome, the
    same options in the same order, steps, cautions and reasons against: another rule does what they do. It is a
    report and no fault. Each joint is put to the code and the amendments that it names, else to those of the project.
    Exits with 0, with 2 for bad input.
    """
    import orjson

    from splicewright.cli.progress import Progress
    from splicewright.engine import UnfitRulebook
    from splicewright.faults import Faults
    from splicewright.impact.idle import AskedJoints, idle_rules
    from splicewright.impact.stacks import Stack
    from splicewright.project.reading import columns_of
    from splicewright.question.vocabulary import CODES
    from splicewright.refusals import Refused, not_allowed
    from splicewright.reports.idle import print_idle
    from splicewright.shelf.joints import NO_JOINT, ShelfJoint, work_in
    from splicewright.shelf.named import catalogue_named

    holding = chooser_of_command().holding
    if code is not None and code not in CODES:
        fail(f"--code: {not_allowed(code, CODES)}")
    catalogue = catalogue_named(None, holding)
    unsaid = holding.unsaid._replace(values={"catalogue": catalogue.name, **holding.unsaid.values})
    of_all = tuple(holding.unsaid.values.get("amendments", ()))
    by_stack: dict[tuple[str, tuple[str, ...]], list[ShelfJoint]] = {}
    for joint in work_in(paths, unsaid, columns_of(holding.project, columns)):
        question = joint.question
        key = (code, of_all) if code else (question.code, question.amendments)
        by_stack.setdefault(key, []).append(joint)
    asked = []
    for (edition, amendments), joints in by_stack.items():
        try:
            book = holding.rules(edition, amendments).rulebook
        except Refused as error:
            fail(*(f"{joints[0].at}: {one.pointer}: {one.says}" for one in error.problems))
        rules = [rule for rule in book.rules if ruleset in (None, rule.ruleset)]
        asked.append(AskedJoints(Stack(book, catalogue), rules, joints))
    names = sorted({rule.ruleset for one in asked for rule in one.stack.book.rules})
    if ruleset is not None and ruleset not in names:
        fail(f"--ruleset: {not_allowed(ruleset, names)}")
    if not asked:
        raise Faults([NO_JOINT])
    total = sum(joint.count for one in asked for joint in one.joints)
    try:
        with Progress(total, quiet=False, of="joint", every_s=_EVERY_S) as progress:
            found = idle_rules(asked, progress.watch)
    except UnfitRulebook as error:
        fail(f"{error.rule}: {error.says}")
    if form == "json":
        click.echo(orjson.dumps(found.to_dict(), option=orjson.OPT_INDENT_2))
    else:
        print_idle(found.to_dict())
