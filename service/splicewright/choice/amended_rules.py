"""Stacks of amendments over code editions: laid when a question first names them, and the least lately used dropped."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence

import cachetools

from splicewright.choice.loaded_rules import CompiledRules
from splicewright.engine import CompiledRulebook, Engine, UnfitRulebook
from splicewright.faults import Faults
from splicewright.json_pointer import join
from splicewright.refusals import Problem, Refused, Says, not_allowed
from splicewright.rulebook import Rulebook, RuleFiles

_MOST_STACKS = 64


class AmendedRules:
    """The rules of code editions with amendments laid over them. Safe to share between threads."""

    def __init__(
        self, files: RuleFiles, compiled: Callable[[], CompiledRulebook] | None, unfit: Mapping[str, Faults]
    ) -> None:
        """Lay the amendments of `files`; `compiled` has the rules of all of them, None compiles each stack alone.

        `unfit` are those that can't be compiled with the others, by name, once they were compiled.
        """
        self._files, self._compiled, self._unfit = files, compiled, unfit
        self._stacks: cachetools.LRUCache[tuple[str, ...], CompiledRules] = cachetools.LRUCache(_MOST_STACKS)
        self._lock = threading.Lock()

    def rules(self, code: str, amendments: tuple[str, ...]) -> CompiledRules:
        """Give the compiled rules of a stack.

        Raises `Faults` of the code edition itself, `Refused` where an amendment is not known or can't be laid here.
        """
        key = (code, *amendments)
        with self._lock:
            found = self._stacks.get(key)
            if found is None:
                found = self._stacks[key] = CompiledRules(self._engine(code, amendments))
            return found

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
