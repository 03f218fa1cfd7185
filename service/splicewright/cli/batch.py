"""`splicewright batch FILE`: NDJSON in, NDJSON out."""

from __future__ import annotations

import sys
from concurrent.futures.process import BrokenProcessPool

import click

from splicewright.cli.input import fail


@click.command("batch")
@click.argument("file", default="-")
@click.option(
    "--explain",
    type=click.Choice(["full", "brief"]),
    default="brief",
    show_default=True,
    help="How much each answer tells, where its question does not say.",
)
@click.option("--workers", type=click.IntRange(1, 256), help="Worker processes; by default one for each processor.")
def command(file: str, explain: str, workers: int | None) -> None:
    """Answer each question of FILE, one JSON object a line (- is standard input), one line each, in the same order.

    A line that is no valid question gets an error object; the rest go on. Exits with 1 where a line was in error.
    """
    from splicewright.choice.pool import answer_stream, default_workers

    errors = 0
    out = sys.stdout.buffer
    try:
        with click.open_file(file, "rb") as stream:
            for answer in answer_stream(stream, explain=explain, workers=workers or default_workers()):
                errors += answer.errors
                out.write(answer.text)
            out.flush()
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away; there is nobody left to tell
        sys.exit(1)
    except BrokenProcessPool:
        fail(f"{file}: a worker process was ended from outside; the answers printed so far are whole")
    except OSError as error:
        fail(f"{file}: {error.strerror}")
    sys.exit(1 if errors else 0)
