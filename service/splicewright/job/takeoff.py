"""What a job needs: which connector makes which joint, and the count of connectors, pigtails and jumpers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from splicewright.job.model import Decision, Filled, JobEntry, JobOption, Plain, Stock, Tail, Use, money
from splicewright.job.planning import Planned
from splicewright.job.stock import Bought, Kind, Plan, Wanted, bought
from splicewright.tables.conductors import grounding_color, grounding_color_source
from splicewright.tables.jumpers import jumper_length, length_source, pigtail_length
from splicewright.units import size


@dataclass(frozen=True, slots=True)
class Made:
    """Joints of one kind that are made: a joint of the job, or a part of one that is split."""

    name: str
    decision: Decision
    count: int
    kept: tuple[str, ...] = ()  # the connectors that its proposal keeps it to

    @property
    def ranked(self) -> tuple[str, ...]:
        """The connectors that it may be made with, best first."""
        return self.kept or self.decision.ranked

    @property
    def first(self) -> tuple[Use, ...]:
        """The best of them, for all of its joints."""
        return (_use(self.decision, self.ranked[0], self.count),)


def made_joints(decided: Iterable[tuple[JobEntry, Decision]]) -> Iterator[Made]:
    """Give what is made of each joint that is not in error."""
    for entry, decision in decided:
        yield from made_of(entry, decision)


def made_of(entry: JobEntry, decision: Decision) -> Iterator[Made]:
    """Give what is made of a joint."""
    kept = kept_options(entry, decision)
    for one in decision.made:
        yield Made(entry.name, one, entry.quantity or 0, kept)


def kept_options(entry: JobEntry, decision: Decision) -> tuple[str, ...]:
    """Give those of a joint's options that its proposal is for, best first, where nothing speaks against that."""
    if entry.check is None or entry.check["verdict"] == "unsound":
        return ()
    proposed = entry.check["proposed"]
    return tuple(option.connector for option in decision.options if is_proposed(option, proposed))


def is_proposed(option: JobOption, proposed: Plain) -> bool:
    """Say whether an option is what a proposal is for: its connector or, where it names none, its method."""
    return option.method == proposed["method"] and proposed.get("connector") in (None, option.connector)


def first_choices(made: Sequence[Made]) -> list[tuple[Use, ...]]:
    """Give each joint the best option that it may be made with."""
    return [one.first for one in made]


def planned_uses(made: Sequence[Made], planned: Planned) -> list[tuple[Use, ...]]:
    """Give each joint what the plan makes it with; else the best option that it may be."""
    shared = zip(made, uses_of(made, planned.wanted, planned.plan), strict=True)
    return [uses or one.first for one, uses in shared]


def uses_of(made: Sequence[Made], wanted: Wanted, plan: Plan) -> list[tuple[Use, ...]]:
    """Give each joint its share of what a plan gives its kind, earlier joints first; none where it gives none."""
    left = {
        wanted.names(kind): _left(wanted, kind, share) for kind, share in zip(wanted.kinds, plan.shares, strict=False)
    }
    known: dict[tuple[int, str, int], Use] = {}
    found = []
    for one in made:
        need, uses = one.count, []
        for part in left.get(wanted.usable(one.ranked), ()):
            if taken := min(need, part.count):
                same = (id(one.decision), part.connector, taken)
                uses.append(known.get(same) or known.setdefault(same, _use(one.decision, part.connector, taken)))
                part.count -= taken
                need -= taken
        found.append(tuple(uses))
    return found


@dataclass(slots=True)
class _Left:
    """How many joints of a kind are still to be made with a connector."""

    connector: str
    count: int


def _left(wanted: Wanted, kind: Kind, share: Mapping[int, int]) -> list[_Left]:
    return [_Left(wanted.types[one], share[one]) for one in kind.options if share.get(one)]


def _use(decision: Decision, connector: str, count: int) -> Use:
    rank = decision.ranked.index(connector)
    return Use(decision.options[rank], rank + 1, count)


@dataclass(frozen=True, slots=True)
class TakeoffLine:
    """One connector of the takeoff."""

    connector: str
    name: str
    method: str
    carried: bool | None  # None: no stock was given
    bought: Bought


def take_off(uses: Iterable[tuple[Use, ...]], stock: Stock | None) -> list[TakeoffLine]:
    """Count each connector, in the order of ids, with spares, and with packs and cost where it has a price."""
    counts: Counter[str] = Counter()
    choices: dict[str, JobOption] = {}
    for one in (use for some in uses for use in some):
        counts[one.choice.connector] += one.count
        choices[one.choice.connector] = one.choice
    lines = []
    for connector, count in sorted(counts.items()):
        taken = bought(count, stock.spare, stock.prices.get(connector)) if stock else Bought(count, 0)
        carried = connector in stock.carry if stock else None
        lines.append(TakeoffLine(connector, choices[connector].name, choices[connector].method, carried, taken))
    return lines


def line_plain(line: TakeoffLine, source: Mapping[str, str] | None = None) -> Plain:
    """Write a line of the takeoff; `source` is where the connector's listing was read."""
    carried = {} if line.carried is None else {"carried": line.carried}
    told = {"connector": line.connector, "name": line.name, "method": line.method}
    written = {**told, **carried, **bought_plain(line.bought)}
    return written if source is None else {**written, "source": source}


def bought_plain(one: Bought) -> Plain:
    """Write what is bought of one connector."""
    written: Plain = {"count": one.count, "spare_count": one.spare}
    if one.packs is not None and one.cost is not None:
        packs = {"pack_count": one.packs, "per_pack": one.of} if one.of > 1 else {}
        written |= {**packs, "bought_count": one.packs * one.of, "cost": money(one.cost)}
    return written


def tails_plain(entries: Iterable[tuple[JobEntry, Decision]], boxes: Iterable[Filled], code: str) -> list[Plain]:
    """Count pigtails and jumpers of joints that are made, and of boxes: {kind, size, material, role, …}."""
    counts: Counter[tuple[str, str, str, str]] = Counter()
    for entry, decision in entries:
        if decision.made:
            _add(counts, (*entry.reading.tails, *decision.jumpers), entry.quantity or 0)
    for box in boxes:
        _add(counts, box.tails, box.quantity or 0)
    return [_tail_plain(Tail(*key, counts[key]), code) for key in sorted(counts)]


def _add(counts: Counter[tuple[str, str, str, str]], tails: Iterable[Tail], quantity: int) -> None:
    for tail in tails:
        counts[tail.kind, tail.size, tail.material, tail.role] += tail.count * quantity


def _tail_plain(tail: Tail, code: str) -> Plain:
    value, unit = jumper_length() if tail.kind == "jumper" else pigtail_length()
    total = Fraction(str(value)) * tail.count
    written: Plain = {
        "kind": tail.kind,
        "size": size(tail.size).to_dict(),
        "material": tail.material,
        "role": tail.role,
    }
    color, source = grounding_color(tail.role), grounding_color_source(code)
    if color is not None and source is not None:
        written |= {"color": color, "color_source": source}
    return {
        **written,
        "count": tail.count,
        "length": {"value": value, "unit": unit},
        "total": {"value": int(total) if total.denominator == 1 else float(total), "unit": unit},
        "source": length_source(code),
    }
