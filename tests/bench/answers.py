"""Complete answers, bytes in and bytes out, in this process: of questions never asked before, and of repeated ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from splicewright.answering import Chooser
from tests.bench.questions import lines
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Row
from tests.bench.timing import processor_seconds, rates

COLD = {"brief": 2000, "full": 1400}  # answers a second, at least
REPEATED = 100_000
REPEATED_QUESTIONS = 1000
_SEED = 2


def answer_all(chooser: Chooser, questions: Sequence[bytes], explain: str) -> None:
    """Answer questions as every way in does."""
    for one in questions:
        chooser.answer_json(one, explain=explain)


def cold_seconds(choosers: Sequence[Chooser], explain: str, sizes: Sizes, seed: int) -> list[list[float]]:
    """Give the processor seconds of each chooser in each run, every run on questions never asked before."""
    asked = lines(seed, sizes.questions * (sizes.runs + 1))
    for chooser in choosers:
        chooser.warm_up()  # as servers and batches do
    found: list[list[float]] = [[] for _ in choosers]
    for run in range(sizes.runs + 1):
        some = asked[run * sizes.questions : (run + 1) * sizes.questions]
        for chooser, seconds in zip(choosers, found, strict=True):
            taken = processor_seconds(lambda chooser=chooser: answer_all(chooser, some, explain))  # noqa: B023
            if run:  # the first reads the rules and fills what is kept for all questions
                seconds.append(taken)
    return found


def with_ids(questions: Sequence[bytes], count: int) -> Iterator[bytes]:
    """Give questions over and over, so many in all, each with an id of its own."""
    return (b'{"id":"%d",' % at + questions[at % len(questions)][1:] for at in range(count))


def rows(sizes: Sizes) -> Iterator[Row]:
    """Measure answers to questions never asked before, and to repeated ones."""
    for at, (explain, least) in enumerate(COLD.items()):
        (seconds,) = cold_seconds([Chooser()], explain, sizes, _SEED + at)
        yield Row(
            f"cold complete answers, {explain}, one core",
            rates(seconds, sizes.questions),
            "/s",
            Figure(least, most=False),
        )
    yield _repeated(sizes)


def _repeated(sizes: Sizes) -> Row:
    chooser = Chooser()
    questions = lines(_SEED, min(REPEATED_QUESTIONS, sizes.questions * 5))
    answer_all(chooser, questions, "brief")
    asked = list(with_ids(questions, 50 * sizes.questions))
    seconds = [processor_seconds(lambda: answer_all(chooser, asked, "brief")) for _ in range(sizes.runs)]
    what = f"repeated questions, brief, bytes in and out, one core ({len(questions):,} distinct, each with an id)"
    return Row(what, rates(seconds, len(asked)), "/s", Figure(REPEATED, most=False))
