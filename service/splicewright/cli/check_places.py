"""What a check of files reads is not written over by it, but for its own earlier report in a folder that is checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from splicewright.audit.entries import NotOurs, OfCatalogue, read_entries
from splicewright.audit.files import CheckedFile
from splicewright.cli.places import keep_what_was_read, same_file
from splicewright.reports.sheets import is_table_of_answers
from splicewright.shelf.recognizing import catalogue_tables


def without_reports(
    sources: Sequence[CheckedFile], places: Sequence[Path], mapped: Mapping[str, str]
) -> list[CheckedFile]:
    """Give the files to check without those that are written: earlier reports, and what holds nothing to check.

    Exits with 2 where one was named, or holds something of the user's to check.
    """
    written = [source for source in sources if same_file(source.path, places)]
    keep_what_was_read([one.path for one in written if one.named or _is_the_users(one, mapped)], places)
    return [source for source in sources if source not in written]


def _is_the_users(source: CheckedFile, mapped: Mapping[str, str]) -> bool:
    try:
        entries = read_entries(source, mapped, catalogue_tables)
    except NotOurs as error:
        return isinstance(error, OfCatalogue)
    return any(one.sheet_joint is None or not is_table_of_answers(one.sheet_joint.grid) for one in entries)
