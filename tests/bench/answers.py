"""Complete answers, bytes in and bytes out: of questions never asked before, and of repeated ones."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from splicewright.answering import Chooser
from tests.bench.pairs import Side, Spread, Taken, paired
from tests.bench.questions import lines, the_set
from tests.bench.sizes import Sizes
from tests.bench.table import Figure, Measured, Row
from tests.bench.timing import processor_seconds, rates

COLD = {"brief": 2000, "full": 1400}  # answers a second, at least
REPEATED = 100_000
REPEATED_QUESTIONS = 1000
_SEED = 2


def answer_all(chooser: Chooser, questions: Sequence[bytes], explain: str) -> None:
    """Answer questions as every way in does."""
    for question in questions:
        chooser.answer_json(question, explain=explain)


def with_ids(questions: Sequence[bytes], count: int) -> Iterator[bytes]:
    """Give questions over and over, so many in all, each with an id of its own."""
    return (b'{"id":"%d",' % at + questions[at % len(questions)][1:] for at in range(count))


def rows(sizes: Sizes) -> Iterator[Measured]:
    """Measure answers to questions never asked before, each kind in processes of their own, and to repeated ones."""
    asked = the_set(sizes.questions)
    found = paired({explain: Side("answers", (explain,)) for explain in COLD}, asked, sizes.runs)
    for explain, least in COLD.items():
        what = f"cold complete answers, {explain}, one core"
        yield Row(what, [one.rate() for one in found[explain]], "/s", Figure(least, most=False))
    yield _repeated(sizes)
    yield from (Spread(f"cold complete answers, {explain}", found[explain]) for explain in COLD)
    yield f"Of the {len(asked):,} questions {outcomes(found['brief'][0])}."


def outcomes(taken: Taken) -> str:
    """Tell which share of the questions came to which outcome."""
    counts = Counter(taken.came["outcomes"])
    return ", ".join(f"{100 * count / counts.total():.1f}% are told {name}" for name, count in counts.most_common())


def _repeated(sizes: Sizes) -> Row:
    chooser = Chooser()
    questions = lines(_SEED, min(REPEATED_QUESTIONS, sizes.questions))
    answer_all(chooser, questions, "brief")
    asked = list(with_ids(questions, 50 * sizes.few))
    seconds = [processor_seconds(lambda: answer_all(chooser, asked, "brief")) for _ in range(sizes.runs)]
    what = f"repeated questions, brief, bytes in and out, one core ({len(questions):,} distinct, each with an id)"
    return Row(what, rates(seconds, len(asked)), "/s", Figure(REPEATED, most=False))
