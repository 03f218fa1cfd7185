"""`splicewright catalogue takes | diff | gaps | cover`: what a shelf takes, what changed, and what it leaves open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import click

from splicewright.cli.input import fail
from splicewright.cli.mapped_columns import mapped_columns
from splicewright.cli.project import chooser_of_command
from splicewright.cli.waiting import waiting

if TYPE_CHECKING:
    from splicewright.answering import Chooser
    from splicewright.shelf.evaluation import HeldJoint, Shelf

_FORMAT = click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
_CATALOGUE = click.option(
    "--catalogue", metavar="NAME|FILE", help="The catalogue, or its file; else that which stands for questions."
)
_PATHS = click.argument("paths", metavar="FILES…", nargs=-1, required=True)
MOST_TYPES = 200


def _print(form: str, told: dict[str, Any], on_screen: Callable[[], None]) -> None:
    import orjson

    if form == "json":
        click.echo(orjson.dumps(told, option=orjson.OPT_INDENT_2))
    else:
        on_screen()


@click.command("takes")
@click.argument("connector", metavar="ID")
@_CATALOGUE
@_FORMAT
def takes(connector: str, catalogue: str | None, form: str) -> None:
    """Tell what the connector ID takes: in sentences, and each filling with its metal from the least to the most."""
    from splicewright.refusals import not_allowed
    from splicewright.reports.shelf import print_taken
    from splicewright.shelf.named import catalogue_named
    from splicewright.shelf.takes import taken_by

    found = catalogue_named(catalogue, chooser_of_command().holding)
    try:
        taken = taken_by(found.connector(connector))
    except KeyError:
        fail(f"no connector: {not_allowed(connector, [one.id for one in found.connectors])}")
    _print(form, taken.to_dict(), lambda: print_taken(taken))


@click.command("diff")
@click.argument("old")
@click.argument("new")
@_FORMAT
def diff(old: str, new: str, form: str) -> None:
    """Tell what the catalogue NEW (a name or a file) says otherwise than OLD, connector by connector, field by field.

    Exits with 0 where every connector says the same, with 1 where one does not.
    """
    from splicewright.reports.shelf import print_diff
    from splicewright.shelf.diff import compare
    from splicewright.shelf.named import catalogue_named

    holding = chooser_of_command().holding
    found = compare(catalogue_named(old, holding), catalogue_named(new, holding))
    _print(form, found.to_dict(), lambda: print_diff(found))
    raise SystemExit(0 if found.same else 1)


@click.command("gaps")
@_PATHS
@_CATALOGUE
@click.option("--among", metavar="NAME|FILE", help="Another catalogue: which of its types would take what is open.")
@mapped_columns
@_FORMAT
def gaps(paths: Sequence[str], catalogue: str | None, among: str | None, columns: dict[str, str], form: str) -> None:
    """Tell the joints of jobs, boxes, questions and tables in FILES and folders that nothing on the shelf takes.

    Of each the nearest misses are told with what they lack, and of all together what one more type would cover. Exits
    with 0 where nothing is open, with 1 where something is.
    """
    from splicewright.reports.shelf import print_gaps
    from splicewright.shelf.evaluation import Shelf
    from splicewright.shelf.gaps import find_gaps
    from splicewright.shelf.named import catalogue_named

    shelf, held, chooser = _held(paths, catalogue, columns)
    with waiting("asking each joint"):
        found = find_gaps(shelf, held, Shelf(catalogue_named(among, chooser.holding), chooser) if among else None)
    _print(form, {**_heading(shelf), **found.to_dict()}, lambda: print_gaps(found, shelf.catalogue.name))
    raise SystemExit(1 if found.gaps else 0)


@click.command("cover")
@_PATHS
@click.option("--types", "most", type=click.IntRange(0, MOST_TYPES), required=True, help="How many types to add.")
@click.option("--carry", metavar="ID", multiple=True, help="A type that is on the shelf already.")
@_CATALOGUE
@mapped_columns
@_FORMAT
def cover(
    paths: Sequence[str],
    most: int,
    carry: Sequence[str],
    catalogue: str | None,
    columns: dict[str, str],
    form: str,
) -> None:
    """Tell the few types of a catalogue that cover most joints of FILES and folders, and what they leave open.

    It is exact: where the work that it may take does not prove that, it says so. Exits with 0 where every joint is
    covered, with 1 where one is not.
    """
    from splicewright.reports.shelf import print_cover
    from splicewright.shelf.cover import find_cover

    shelf, held, _ = _held(paths, catalogue, columns)
    with waiting("choosing what to carry"):
        found = find_cover(shelf, held, most, carry)
    _print(form, {**_heading(shelf), **found.to_dict()}, lambda: print_cover(found, shelf.catalogue.name))
    raise SystemExit(1 if found.uncovered else 0)


def _held(
    paths: Sequence[str], catalogue: str | None, columns: dict[str, str]
) -> tuple[Shelf, list[HeldJoint], Chooser]:
    from splicewright.project.reading import columns_of
    from splicewright.shelf.evaluation import Shelf
    from splicewright.shelf.joints import joints_in
    from splicewright.shelf.named import catalogue_named

    chooser = chooser_of_command()
    shelf = Shelf(catalogue_named(catalogue, chooser.holding), chooser)
    unsaid = chooser.holding.unsaid
    # Joints are held against this shelf, whatever catalogue they name, or if they name none.
    stands = {"catalogue": shelf.catalogue.name, **unsaid.values}
    if stands["catalogue"] != shelf.catalogue.name and "only" in stands:  # its connectors are of the project's own
        stands["only"] = {key: words for key, words in stands["only"].items() if key != "connectors"}
    unsaid = unsaid._replace(values=stands)
    joints = joints_in(paths, unsaid, columns_of(chooser.holding.project, columns))
    return shelf, shelf.hold(joints), chooser


def _heading(shelf: Shelf) -> dict[str, Any]:
    return {"catalogue": {**shelf.catalogue.named(), "digest": shelf.catalogue.digest}}
