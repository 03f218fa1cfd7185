"""The codes whose rules may be asked, each with its editions in order, as `rulesets/codes.yaml` declares them.

An edition is a word; which is the newer one is told by the order of the declaration alone. What was read for an edition
is claimed for it, by each rule file and each table, and never taken over from the edition before.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from marshmallow import fields, validate

from splicewright import shipped
from splicewright.json_pointer import join
from splicewright.refusals import Problem, Refused, not_allowed
from splicewright.strict_fields import Text
from splicewright.strict_schema import Strict, load, made_once

FILE = "codes.yaml"
_EDITION = re.compile(r"[A-Za-z0-9.]+\Z")
_RANGE = re.compile(r"([A-Za-z0-9.]+)(?:(-)([A-Za-z0-9.]+)?)?\Z")
Figure = TypeVar("Figure")


class Claim(NamedTuple):
    """The editions that something was read for, in order. `goes_on`: nothing says that it ends with them."""

    editions: tuple[str, ...]
    goes_on: bool

    def __str__(self) -> str:
        """Give it as printed: `2017-2023`, `2023`."""
        return "-".join(dict.fromkeys((self.editions[0], self.editions[-1])))


class Code(NamedTuple):
    """A code: its editions in order, and `through`, the newest that questions may name."""

    name: str  # nfpa70
    title: str  # NFPA 70
    editions: tuple[str, ...]
    through: str

    @property
    def offered(self) -> tuple[str, ...]:
        """The editions that questions may name."""
        return self.editions[: self.editions.index(self.through) + 1]

    @property
    def coming(self) -> tuple[str, ...]:
        """The editions declared beyond those, which are still being read."""
        return self.editions[self.editions.index(self.through) + 1 :]

    def claim(self, written: str, through: str) -> Claim:
        """Read a range of editions, of what was read through an edition: `2017-` (it ends there), `2017-2020`, `2023`.

        Raises ValueError with what is wrong.
        """
        match = _RANGE.match(written)
        if not match:
            raise ValueError(f"{written!r} is not a range of editions; write {self._ranges()}")
        first, dash, last = match.groups()
        for edition in (first, last or first):
            if edition not in self.editions:
                raise ValueError(f"{written!r} is not a range of editions: {not_allowed(edition, self.editions)}")
        last = last or (through if dash else first)
        start, end = self.editions.index(first), self.editions.index(last)
        if end < start and dash and not match[3]:
            raise ValueError(f"{written!r} begins after {through}, through which this was read; write {first!r}")
        if end < start:
            raise ValueError(f"{written!r} ends before it begins")
        return Claim(self.editions[start : end + 1], goes_on=bool(dash and not match[3]))

    def _ranges(self) -> str:
        first, last = self.editions[0], self.editions[-1]
        return f"{first}-, {first}-{last} or {last}"

    def reached(self, edition: str, since: str) -> bool:
        """Say whether an edition is `since` or a later one."""
        return self.editions.index(edition) >= self.editions.index(since)

    def figure(self, edition: str, since: Mapping[str, Figure]) -> Figure:
        """Give what holds in an edition, of figures written by the edition that each of them is new in.

        Raises KeyError where the edition is before all of them.
        """
        if edition not in self.editions:
            raise KeyError(edition)
        until = self.editions[: self.editions.index(edition) + 1]
        return since[max((one for one in until if one in since), key=self.editions.index, default=edition)]


class Codes(NamedTuple):
    """All codes by name, and the code edition whose rules are asked where a question names none."""

    by_name: Mapping[str, Code]
    default: str

    def offered(self) -> dict[str, str]:
        """Give the code editions that questions may name, each with its title."""
        return {
            f"{code.name}-{edition}": f"{code.title}, edition {edition}"
            for code in self.by_name.values()
            for edition in code.offered
        }

    def unread(self) -> dict[str, str]:
        """Give the code editions that are declared and not offered, each with what to say instead of it."""
        return {
            f"{code.name}-{edition}": f"{code.name}-{code.through}; the rules were not read for {edition} yet"
            for code in self.by_name.values()
            for edition in code.coming
        }

    def titled(self, title: str) -> Code | None:
        """Give the code of a title, such as `NFPA 70`; None where there is none."""
        return next((code for code in self.by_name.values() if code.title == title), None)


class _CodeSchema(Strict):
    title = Text(80, required=True)
    editions = fields.List(fields.Raw(), required=True, validate=validate.Length(1, error="needs at least one edition"))
    through = fields.Raw(required=True)


class _FileSchema(Strict):
    about = Text(300, required=True)
    default = Text(80, required=True)
    codes = fields.Dict(required=True)


def read_codes(path: Path) -> Codes:
    """Read a declaration of codes. Raises `Faults`."""
    document = shipped.read_data_file(path, path.name)
    problems: list[Problem] = []
    try:
        given = load(made_once(_FileSchema), document.value)
        codes = {name: _code(name, code, join("/codes", name), problems) for name, code in given["codes"].items()}
        found = Codes(codes, given["default"])
        if not problems and found.default not in found.offered():
            problems.append(Problem("/default", not_allowed(found.default, found.offered())))
    except Refused as error:
        problems += error.problems
    if problems:
        raise document.faults(problems)
    return found


def _code(name: str, written: Any, pointer: str, problems: list[Problem]) -> Code:
    try:
        given = load(made_once(_CodeSchema), written)
    except Refused as error:
        raise Refused(replace(problem, pointer=pointer + problem.pointer) for problem in error.problems) from None
    code = Code(name, given["title"], tuple(map(str, given["editions"])), str(given["through"]))
    for at, edition in enumerate(code.editions):
        if not _EDITION.match(edition):
            problems.append(
                Problem(join(pointer, "editions", at), "is a word of letters, digits and points, like 2023")
            )
        elif edition in code.editions[:at]:
            problems.append(Problem(join(pointer, "editions", at), "stands twice"))
    if code.through not in code.editions:
        problems.append(Problem(join(pointer, "through"), not_allowed(code.through, code.editions)))
    return code


@functools.cache
def codes() -> Codes:
    """Give the shipped declaration, read once. Raises `Faults`."""
    return read_codes(shipped.folder("rulesets") / FILE)


def code_of(code_edition: str) -> Code:
    """Give the code of a code edition such as `nfpa70-2023`. Raises KeyError."""
    return codes().by_name[name_of(code_edition)]


def name_of(code_edition: str) -> str:
    """Give the name of the code: `nfpa70` of `nfpa70-2023`."""
    return code_edition.partition("-")[0]


def edition_of(code_edition: str) -> str:
    """Give the edition: `2023` of `nfpa70-2023`."""
    return code_edition.partition("-")[2]
