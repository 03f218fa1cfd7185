"""`splicewright batch FILE`: one question a line in, one answer a line out."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypedDict

import click

from splicewright.cli.input import fail, included
from splicewright.cli.project import amending, chooser_of_command, project_of_command

if TYPE_CHECKING:
    from splicewright.batch.lines import BlockAnswer
    from splicewright.cli.output import EarlierOutput, Output

_PARQUET, _GZIP = ".parquet", ".gz"
_ERROR_LINE = b'"outcome":"error"'


class Told(TypedDict):
    """How much is told of a question that does not say."""

    explain: str
    include: tuple[str, ...]


@click.command("batch")
@click.argument("file", default="-")
@click.option(
    "--explain",
    type=click.Choice(["full", "brief"]),
    default="brief",
    show_default=True,
    help="How much each answer tells, where its question does not say.",
)
@included
@click.option("--output", type=click.Path(dir_okay=False), help="Write the answers to this file, which must not exist.")
@click.option("--resume", is_flag=True, help="Go on with --output after its last whole line.")
@click.option("--workers", type=click.IntRange(1, 256), help="Worker processes; by default one for each processor.")
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Answer on the cluster whose scheduler is at tcp://ADDRESS; `local` starts one of --workers processes here.",
)
@click.option("--quiet", is_flag=True, help="Tell no progress.")
@amending
def command(
    file: str,
    explain: str,
    include: tuple[str, ...],
    output: str | None,
    *,
    resume: bool,
    workers: int | None,
    cluster: str | None,
    quiet: bool,
) -> None:
    """Answer each question of FILE, one JSON object a line (- is standard input), one line each, in the same order.

    A line that is no valid question gets an error object; the rest go on. FILE and --output may be Parquet files or
    packed by gzip (by their endings .parquet and .gz). Ctrl-C ends the work after a whole line. With --workers 1 lines
    are answered as they come. Exits with 1 where a line was in error.
    """
    from splicewright.cli.progress import Progress
    from splicewright.cli.stopping import stoppable

    if resume and (not output or output.endswith(_PARQUET)):
        raise click.UsageError("--resume goes on with the file of lines that --output names; name it")
    source = _open(file)
    if file != "-":
        click.get_current_context().call_on_close(source.close)
    told: Told = {"explain": explain, "include": include}
    out, done, errors = _output(output, file, source, told, resume=resume)
    click.get_current_context().call_on_close(out.discard)
    unknown = file == "-" or done or file.endswith(_GZIP)
    total = None if unknown else getattr(source, "rows", None) or Path(file).stat().st_size
    stopped = 0
    try:
        with stoppable(reads=0 if file == "-" else None) as stop, Progress(total, quiet=quiet) as progress:
            for answer in _answers(source, done + 1, told, workers, cluster):
                if stop:  # what came last may have been cut off
                    break
                out.write(answer.text, answer.lines)
                errors += answer.errors
                of_total = answer.lines if hasattr(source, "rows") else answer.asked
                progress.advance(of_total, answer.lines, answer.outcomes)
            stopped = stop.status if stop else 0
        out.close()
        progress.tell()
    except BrokenPipeError:
        _reader_is_gone(out.lines)
    except BrokenProcessPool:
        if stop:  # what ends a whole group of processes ends the workers too
            click.echo(f"stopped; {_kept(out)}", err=True)
            sys.exit(stop.status)
        fail(f"{file}: a worker process was ended from outside; {_kept(out)}")
    except OSError as error:
        fail(f"{error.filename or out.name}: {error.strerror or error}; {_kept(out)}")
    if stopped:
        kept = f"the first {out.lines:,} answers are in {out.name}" if out.name.endswith(_PARQUET) else _kept(out)
        click.echo(f"stopped; {kept}", err=True)
        sys.exit(stopped)
    sys.exit(1 if errors else 0)


def _answers(source: Any, first: int, told: Told, workers: int | None, cluster: str | None) -> Iterator[BlockAnswer]:
    from splicewright.batch.lines import blocks
    from splicewright.batch.pool import answer_stream, default_workers

    project, many = project_of_command(), workers or default_workers()
    if cluster is None:
        yield from answer_stream(source, first=first, **told, workers=many, project=project)
        return
    try:
        from splicewright.batch.cluster import ClusterFault, answer_on_cluster
    except ModuleNotFoundError:
        fail("--cluster needs the extra `cluster`: pip install 'splicewright[cluster]'")
    address = None if cluster == "local" else cluster
    try:
        found = blocks(source, first=first)
        yield from answer_on_cluster(found, **told, address=address, workers=many, project=project)
    except ClusterFault as error:
        fail(str(error))


def _open(file: str) -> Any:
    from splicewright.refusals import Refused

    try:
        if file.endswith(_GZIP):
            from splicewright.cli.gzip_lines import Unpacked

            return _of_lines(Unpacked(file), file)
        if not file.endswith(_PARQUET):
            return _of_lines(click.open_file(file, "rb"), file)
        try:
            from splicewright.sheets.parquet import Questions
        except ModuleNotFoundError:
            fail("Parquet files need the extra `columns`: pip install 'splicewright[columns]'")
        return Questions(Path(file))
    except OSError as error:
        fail(f"{file}: {error.strerror}")
    except Refused as error:
        fail(
            *(
                f"{file}: {problem.pointer.removeprefix('/') or 'the file'}: {problem.says}"
                for problem in error.problems
            )
        )


def _of_lines(stream: Any, file: str) -> Any:
    """Give a stream as it is. Exits with 2 where its first bytes tell that it holds no lines of text."""
    from splicewright.cli.other_bytes import first_bytes, other_than_lines

    begin = stream.first_bytes() if file.endswith(_GZIP) else first_bytes(stream)
    if says := other_than_lines(begin, file):
        stream.close()
        fail(f"{'standard input' if file == '-' else file}: {says}")
    return stream


def _output(output: str | None, file: str, source: Any, told: Told, *, resume: bool) -> tuple[Output, int, int]:
    """Open what is written to. Gives it with how many lines, and how many errors, it has already."""
    from splicewright.cli.output import StandardOutput
    from splicewright.cli.places import called_rightly, files_of, keep_what_was_read

    if output is None:
        return StandardOutput(), 0, 0
    path = Path(output)
    called_rightly("lines", path, "--output")
    try:
        keep_what_was_read([file, *files_of(project_of_command())], [path])
        if output.endswith(_PARQUET):
            return _parquet(path), 0, 0
        if not (resume and path.exists()):
            return _lines_in(path), 0, 0
        return _go_on(path, file, source, told)
    except FileExistsError:
        fail(f"{output}: exists already; go on with it by --resume, or name another file")
    except OSError as error:
        fail(f"{error.filename or output}: {error.strerror}")


def _lines_in(path: Path, kept: EarlierOutput | None = None) -> Output:
    if path.suffix == _GZIP:
        from splicewright.cli.gzip_lines import PackedLines

        return PackedLines(path, kept)
    from splicewright.cli.output import LineFile

    return LineFile(path, kept)


def _kept_of(path: Path) -> EarlierOutput:
    if path.suffix == _GZIP:
        from splicewright.cli.gzip_lines import whole_packed_lines

        return whole_packed_lines(path, is_error=_ERROR_LINE)
    from splicewright.cli.output import whole_lines

    return whole_lines(path, is_error=_ERROR_LINE)


def _parquet(path: Path) -> Output:
    try:
        from splicewright.sheets.parquet import AnswerFile
    except ModuleNotFoundError:
        fail("Parquet files need the extra `columns`: pip install 'splicewright[columns]'")
    return AnswerFile(path)


def _go_on(path: Path, file: str, source: Any, told: Told) -> tuple[Output, int, int]:
    """Pass over what has its answer already, after a look whether these are answers to these questions."""
    from splicewright.batch.lines import Block, answer_block
    from splicewright.cli.output import skip_lines

    written = _kept_of(path)
    first, last, found = skip_lines(source, written.lines)
    if found < written.lines:
        fail(f"{path}: has {written.lines:,} answers, but {file} only {found:,} questions; it belongs to another file")
    for number, asked, answer in ((1, first, written.first), (written.lines, last, written.last)):
        whole = asked if asked.endswith(b"\n") else asked + b"\n"
        if written.lines and answer_block(chooser_of_command(), Block(number, whole), **told).text != answer:
            fail(
                f"{path}:{number}: is not the answer to line {number} of {file} by the rules and catalogues in use; "
                "the questions, the rules, --explain or --include changed; write to a new file"
            )
    return _lines_in(path, written), written.lines, written.errors


def _kept(out: Output) -> str:
    if Path(out.name).suffix == _PARQUET:
        return f"{out.name} is not written"
    further = "" if out.name == "standard output" else "; go on by --resume"
    return f"{out.lines:,} whole lines are in {out.name}{further}"


def _reader_is_gone(lines: int) -> NoReturn:
    click.echo(f"standard output was closed by its reader; {lines:,} lines were handed over before", err=True)
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # so that nothing is tried again at the end
    sys.exit(1)
