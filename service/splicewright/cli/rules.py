"""`splicewright rules`: the rules themselves."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.impact import command as impact
from splicewright.cli.input import fail
from splicewright.cli.project import amending, project_of_command
from splicewright.cli.rule_idle import command as idle
from splicewright.cli.rule_new import command as new
from splicewright.cli.rule_pages import command as pages
from splicewright.cli.trial import command as trial

_CODE = click.option("--code", help="The code edition; else the one asked where a question names none.")


@click.group("rules")
def command() -> None:
    """Check, list and show the rules."""


@command.command("list")
@_CODE
@click.argument("ruleset", required=False)
@amending
def list_rules(code: str | None, ruleset: str | None) -> None:
    """List the rules that hold for a code edition, or those of one RULESET, with their sources."""
    from splicewright.refusals import not_allowed
    from splicewright.reports.rules import print_rules

    book = _book(code)
    names = sorted({rule.ruleset for rule in book.rules})
    if ruleset is not None and ruleset not in names:
        fail(f"no ruleset: {not_allowed(ruleset, names)}")
    print_rules([rule for rule in book.rules if ruleset in (None, rule.ruleset)])


@command.command("show")
@_CODE
@click.argument("rule")
@amending
def show_rule(code: str | None, rule: str) -> None:
    """Show one RULE, such as environment/buried-is-wet, as its file writes it."""
    from splicewright.reports.rules import print_rule
    from splicewright.rulebook.rule_json import not_there

    book = _book(code)
    try:
        print_rule(book.rule(rule))
    except KeyError:
        fail(f"no rule: {not_there(book, rule, lines=True)}")


@command.command("reach")
@_CODE
@click.argument("word")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
@amending
def reach(code: str | None, word: str, form: str) -> None:
    """Tell which rules a WORD of a question turns on and off.

    WORD is a word of any leaf (control), of one (enclosure=luminaire, place.dwelling=true), or a leaf itself
    (circuit.kind), for all rules that test it.
    """
    import orjson

    from splicewright.refusals import Refused
    from splicewright.reports.rules import print_reach
    from splicewright.rulebook.rule_json import reach_plain
    from splicewright.rulebook.word_asked import read_asked
    from splicewright.rulebook.word_reach import word_reach

    book = _book(code)
    try:
        found = [word_reach(book, asked) for asked in read_asked(word, book.rules)]
    except Refused as error:
        fail(*(problem.says for problem in error.problems))
    if form == "json":
        click.echo(orjson.dumps([reach_plain(one) for one in found], option=orjson.OPT_INDENT_2))
    else:
        print_reach(found)


@command.command("check")
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Rulesets to check; else the shipped ones.",
)
@click.option("--keep", is_flag=True, help="Write kept.yaml anew, where nothing falls short of it.")
@click.option("--unread", "listed", is_flag=True, help="List what is not read for the editions still to come.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
@amending
def check_rules(folder: Path | None, form: str, *, keep: bool, listed: bool) -> None:
    """Check every rule file, run every example, and count the rules by ruleset and kind of source.

    Where the folder has a kept.yaml, no rule of a code may be gone that its CHANGES.md does not tell as removed, and
    the share of rules read on a page may not have fallen. Translations have the slots of the English; what is not
    translated is counted. Of each edition that is declared and may not be asked yet it tells how many rules, tables and
    concerns are not read for it. Amendments of the project, and files that --amend names, are checked with the rest.
    What is probably not meant is noted, as `rules try` does, and fails nothing. Exits with 2 where there is a fault;
    each is told as file:line: rule: what is wrong.
    """
    import orjson

    from splicewright import shipped
    from splicewright.cli.progress import Progress
    from splicewright.operate.rule_check import check_rulesets
    from splicewright.reports.rules import counts_plain, print_counts, print_unread
    from splicewright.rulebook import kept
    from splicewright.units import counted

    rulesets = folder or shipped.folder("rulesets")
    with Progress(None, quiet=False, of="rule", every_s=60) as progress:
        checked = check_rulesets(rulesets, lambda _: progress.watch(1), kept=True, project=project_of_command())
    if checked.faults:
        faults = [str(fault) for fault in checked.faults]
        files = len({fault.file for fault in checked.faults})
        fail(*faults, f"{counted(len(faults), 'fault')} in {counted(files, 'file')}")
    if form == "json":
        click.echo(orjson.dumps(counts_plain(checked), option=orjson.OPT_INDENT_2))
    elif listed:
        print_unread(checked.unread)
    else:
        print_counts(checked)
    if keep:
        _keep(rulesets / kept.FILE, kept.written(checked.rules))


@command.command("schema")
@click.argument("kind", type=click.Choice(["amendment", "rules"]), default="amendment")
def write_schema(kind: str) -> None:
    """Write the JSON Schema by which an editor completes and checks an amendment, or a file of rules of a code."""
    import orjson

    from splicewright.rulebook.json_schema import amendment_json_schema, rules_json_schema

    found = amendment_json_schema() if kind == "amendment" else rules_json_schema()
    click.echo(orjson.dumps(found, option=orjson.OPT_INDENT_2))


def _keep(path: Path, text: str) -> None:
    from splicewright.whole_file import write_whole

    try:
        write_whole(path, text.encode())
    except OSError as error:
        fail(f"{path}: {error.strerror}")


command.add_command(impact)
command.add_command(idle)
command.add_command(new)
command.add_command(pages)
command.add_command(trial)


def _book(code: str | None):  # type: ignore[no-untyped-def]  # noqa: ANN202 - the rulebook's class is imported late
    from splicewright import shipped
    from splicewright.codes import codes
    from splicewright.question.vocabulary import CODES
    from splicewright.refusals import not_allowed
    from splicewright.rulebook import RuleFiles

    project = project_of_command()
    code = code or (project and project.code) or codes().default
    if code not in CODES:
        fail(f"--code: {not_allowed(code, CODES)}")
    files = RuleFiles(shipped.folder("rulesets"), project.own_amendments if project else ())
    stack = project.amendments if project else ()
    if unknown := [name for name in stack if name not in files.amendments.names]:
        fail(*(f"amendments: {not_allowed(name, files.amendments.names)}" for name in unknown))
    return files.rulebook(code, stack)
