"""A stack: a code edition, the amendments laid over it, and a catalogue, written `CODE[+AMENDMENT…][@CATALOGUE]`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, NamedTuple

from splicewright.catalogue import Catalogue
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.document import is_file
from splicewright.faults import Fault, Faults
from splicewright.project.amending import amendment_text
from splicewright.question.vocabulary import CODES
from splicewright.refusals import not_allowed
from splicewright.rulebook import Rulebook
from splicewright.rulebook.amendment_files import Amendment, AmendmentText, read_amendment_text
from splicewright.rulebook.amendment_stack import lay
from splicewright.shelf.named import catalogue_named


class StackName(NamedTuple):
    """A stack as it is written: amendments and catalogue by name, or by a file, known by a slash or `.yaml`."""

    code: str
    amendments: tuple[str, ...] = ()
    catalogue: str | None = None

    @classmethod
    def read(cls, written: str) -> StackName:
        """Read `nfpa70-2023+coastal-county+./our-firm.yaml@our-shelf`. Raises `Faults`."""
        laid, at, catalogue = written.partition("@")
        code, *amendments = laid.split("+")
        if code not in CODES:
            raise Faults([Fault("", 0, written, f"the code {not_allowed(code, CODES)}")])
        if not all(amendments) or (at and not catalogue):
            raise Faults([Fault("", 0, written, "is not written CODE[+AMENDMENT…][@CATALOGUE]")])
        return cls(code, tuple(amendments), catalogue or None)


@dataclass(frozen=True, slots=True)
class Stack:
    """The rules of a stack as they are laid, and its catalogue."""

    book: Rulebook
    catalogue: Catalogue

    def to_dict(self) -> dict[str, Any]:
        """Give it as JSON has it."""
        return {
            "code": self.book.code,
            "amendments": list(self.book.amendments),
            "digest": self.book.digest,
            "catalogue": {**self.catalogue.named(), "digest": self.catalogue.digest},
        }

    def __str__(self) -> str:
        """Give it as it is written, by names."""
        return f"{'+'.join((self.book.code, *self.book.amendments))}@{self.catalogue.name}"


def read_stack(name: StackName, holding: LoadedRules, sent: Iterable[AmendmentText] = ()) -> Stack:
    """Read a stack: what it names from the rules and catalogues in use, or from files; amendments may be `sent`.

    Raises `Faults`.
    """
    texts = {text.name: text for text in sent}
    amendments = [_amendment(one, holding, texts) for one in name.amendments]
    book = lay(holding.rulebook(name.code), amendments)
    return Stack(book, catalogue_named(name.catalogue, holding))


def _amendment(named: str, holding: LoadedRules, sent: dict[str, AmendmentText]) -> Amendment:
    if is_file(named):
        text = amendment_text(named)
        return read_amendment_text(text.content, text.file)
    if named in sent:
        return read_amendment_text(sent[named].content, sent[named].file)
    known = holding.files.amendments
    if named not in known.names:
        says = not_allowed(named, (*known.names, *sent), "unknown-name")
        raise Faults([Fault("", 0, "no amendment", f"{says}; of a file write its path, such as ./{named}.yaml")])
    return known.amendment(named)
