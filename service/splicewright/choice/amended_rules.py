"""Stacks of amendments over code editions: laid when a question first names them, and the least lately used dropped.

A stack under which the floor does not hold answers nothing. Tests hold the shipped code editions and each shipped
amendment to the floor; whatever else is laid is held to it once, before its first answer.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress

import cachetools

from splicewright.choice.floor import floor_faults
from splicewright.choice.loaded_rules import CompiledRules
from splicewright.choice.matching import Match
from splicewright.engine import CompiledRulebook, Engine, UnfitRulebook
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.memo import Memo
from splicewright.question.model import Question
from splicewright.refusals import Problem, Refused, Says, not_allowed
from splicewright.rulebook import Rulebook, RuleFiles

_MOST_STACKS = 64
_MOST_HELD = 10_000  # whether the floor holds: found out once, since it costs as much as fifty questions


class AmendedRules:
    """The rules of code editions with amendments laid over them. Safe to share between threads."""

    def __init__(
        self,
        files: RuleFiles,
        compiled: Callable[[], CompiledRulebook] | None,
        unfit: Mapping[str, Faults],
        match_by: Callable[[Question, CompiledRules], Match] | None,
    ) -> None:
        """Lay the amendments of `files`; `compiled` has the rules of all of them, None compiles each stack alone.

        `unfit` are those that can't be compiled with the others, by name, once they were compiled. `match_by` answers
        the questions of the floor; None gives stacks that are not held to it.
        """
        self._files, self._compiled, self._unfit, self._match_by = files, compiled, unfit, match_by
        self._stacks: cachetools.LRUCache[tuple[str, ...], CompiledRules | Refused] = cachetools.LRUCache(_MOST_STACKS)
        self._held: Memo[tuple[str, ...], tuple[Refused | None]] = Memo(_MOST_HELD)  # outlives the stack itself
        self._lock = threading.Lock()

    def rules(self, code: str, amendments: tuple[str, ...]) -> CompiledRules:
        """Give the compiled rules of a stack.

        Raises `Faults` of the code edition itself, `Refused` where an amendment is not known, can't be laid here, or
        lets through what the floor does not.
        """
        key = (code, *amendments)
        with self._lock:
            found = self._stacks.get(key)
            if found is None:
                laid = CompiledRules(self._engine(code, amendments))
                (below,) = self._held.get(key) or self._held.keep(key, (self._below(code, amendments, laid),))
                found = self._stacks[key] = below or laid
        if isinstance(found, Refused):
            raise Refused(found.problems)  # anew: one that is raised again would keep all who asked
        return found

    def _below(self, code: str, amendments: tuple[str, ...], laid: CompiledRules) -> Refused | None:
        """Give what falls below the floor under a stack, at the first amendment with which it does; None if nothing."""
        shipped = len(amendments) == 1 and self._files.amendments.is_shipped(amendments[0])
        if self._match_by is None or shipped or not (faults := self._floor_faults(code, amendments, laid)):
            return None
        for at in range(len(amendments) - 1):
            part = amendments[: at + 1]
            with suppress(Refused):  # what holds no longer with fewer is told of all
                if less := self._floor_faults(code, part, CompiledRules(self._engine(code, part))):
                    return _refused(at, Faults(less))
        return _refused(len(amendments) - 1, Faults(faults))

    def _floor_faults(self, code: str, amendments: tuple[str, ...], laid: CompiledRules) -> list[Fault]:
        ask = self._match_by
        assert ask is not None
        return floor_faults(self._files.folder, lambda question: ask(question, laid), [(code, amendments)])

    def _engine(self, code: str, amendments: tuple[str, ...]) -> Engine:
        self._files.rulebook(code)  # what is wrong with the code is no fault of an amendment
        together = self._compiled() if self._compiled else None
        book = self._laid(code, amendments)
        try:
            return Engine(book, together)
        except UnfitRulebook as error:
            at = amendments.index(error.rule.partition("/")[0])
            raise _refused(at, Faults([error.fault(book.rules)])) from None

    def _laid(self, code: str, amendments: Sequence[str]) -> Rulebook:
        """Lay amendments over a code edition, and tell by its place which one can't be."""
        known = self._files.amendments.names
        if unknown := [(at, name) for at, name in enumerate(amendments) if name not in known]:
            raise Refused(
                Problem(join("/amendments", at), not_allowed(name, known, "unknown-name")) for at, name in unknown
            )
        for at, name in enumerate(amendments):
            if name in self._unfit:
                raise _refused(at, self._unfit[name])
        try:
            return self._files.rulebook(code, amendments)
        except Faults:
            for at in range(len(amendments)):
                try:
                    self._files.rulebook(code, amendments[: at + 1])
                except Faults as error:
                    raise _refused(at, error) from None
            raise


def _refused(at: int, faults: Faults) -> Refused:
    """Give what is wrong with an amendment that a question names, as problems of the question."""
    pointer = join("/amendments", at)
    return Refused([Problem(pointer, Says(str(fault), "not-valid")) for fault in faults.faults])
