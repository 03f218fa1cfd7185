"""`splicewright batch FILE`: NDJSON in, NDJSON out."""

from __future__ import annotations

import sys

import click

from splicewright.cli.input import fail


@click.command("batch")
@click.argument("file", default="-")
@click.option(
    "--explain",
    type=click.Choice(["full", "brief"]),
    default="brief",
    show_default=True,
    help="How much each answer tells.",
)
def command(file: str, explain: str) -> None:
    """Answer each question of FILE, one JSON object a line (- is standard input), one line each, in the same order.

    A line that is no valid question gets an error object; the rest go on. Exits with 1 where a line was in error.
    """
    from splicewright.choice import shipped_chooser
    from splicewright.choice.lines import answer_lines, split_lines

    out = sys.stdout.buffer
    bad = 0
    try:
        with click.open_file(file, "rb") as stream:
            for answer in answer_lines(shipped_chooser(), split_lines(stream), explain=explain):
                bad += not answer.ok
                out.write(answer.text + b"\n")
            out.flush()
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away; there is nobody left to tell
        sys.exit(1)
    except OSError as error:
        fail(f"{file}: {error.strerror}")
    sys.exit(1 if bad else 0)
