"""`splicewright rules new`: an amendment file to begin with."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from splicewright.cli.input import fail


@click.command("new")
@click.argument("name")
@click.option("--amends", metavar="CODE", multiple=True, help="What it amends, else every code; repeat for more.")
@click.option("--does", metavar="WORD", default="bar", show_default=True, help="What its rule does: bar, demand, ….")
@click.option(
    "--output", type=click.Path(path_type=Path, dir_okay=False), help="The file, NAME.yaml in some folder; else here."
)
def command(name: str, amends: Sequence[str], does: str, output: Path | None) -> None:
    """Write an amendment NAME with one rule, an example on which it fires, a near miss, and a comment at each line.

    What stands between < and > is to be replaced. A file that is there is left as it is.
    """
    from splicewright.codes import codes
    from splicewright.refusals import not_allowed
    from splicewright.rulebook.amendment_files import EVERY_CODE
    from splicewright.rulebook.effects import EFFECTS
    from splicewright.rulebook.schema import ID
    from splicewright.rulebook.skeleton import LONGEST_NAME, skeleton
    from splicewright.whole_file import write_whole

    known = [*codes().offered(), *codes().by_name, EVERY_CODE]
    faults = [f"--amends: {not_allowed(one, known)}" for one in amends if one not in known]
    if not ID.match(name) or len(name) > LONGEST_NAME:
        faults.append(f"{name}: is no name: at most {LONGEST_NAME} small letters, digits, and hyphens between them")
    if does not in EFFECTS:
        faults.append(f"--does: {not_allowed(does, EFFECTS)}")
    file = output or Path(f"{name}.yaml")
    if file.name != f"{name}.yaml":
        faults.append(f"--output: {file.name} is another name; write {file.with_name(f'{name}.yaml')}")
    if faults:
        fail(*faults)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        fail(f"{file.parent}: no folder can be made there: {error.strerror}")
    try:
        write_whole(file, skeleton(name, amends or (EVERY_CODE,), does).encode(), new=True)
    except FileExistsError:
        fail(f"{file}: is there already; it is left as it is")
    except OSError as error:
        fail(f"{file}: {error.strerror}")
    click.echo(f"{file}: replace what stands between < and >, then: splicewright rules try {file}")
