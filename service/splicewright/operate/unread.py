"""What is not yet read for the editions of a code that are declared, and that questions may not name so far."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from splicewright.rulebook import Rule, RuleFiles
from splicewright.tables.loader import unread_tables


@dataclass(frozen=True, slots=True)
class Unread:
    """The rules that hold in the edition asked last and are not claimed for `code`; tables and concerns likewise."""

    code: str  # nfpa70-2026
    rules: tuple[Rule, ...]
    tables: tuple[str, ...]
    concerns: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Write it as JSON prints it."""
        return {
            "code": self.code,
            "rules": [{"id": rule.id, "file": rule.file, "line": rule.line} for rule in self.rules],
            "tables": list(self.tables),
            "concerns": list(self.concerns),
        }


def unread(files: RuleFiles) -> Iterator[Unread]:
    """Give what is not read for each edition still to come, in their order. Rules that ended before it need no word."""
    for code in files.codes.by_name.values():
        for edition in code.coming:
            rules = (
                rule
                for rule in files.rules_of(code)
                if rule.editions is not None and rule.editions.goes_on and edition not in rule.editions.editions
            )
            yield Unread(
                f"{code.name}-{edition}",
                tuple(sorted(rules, key=lambda rule: rule.id)),
                unread_tables(code, edition),
                files.concerns_file.unread(code, edition),
            )
