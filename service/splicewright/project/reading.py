"""Reads a project file: what stands for every question that does not say it, and where what is ours is.

Paths in it are relative to it. A fault is told with its line, its key and the nearest right word.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from marshmallow import ValidationError, fields

from splicewright.document import ENDING, Document, call_it, is_yaml
from splicewright.faults import Fault, Faults
from splicewright.question import vocabulary as v
from splicewright.question.schema import OnlySchema, amendments
from splicewright.refusals import NotText, Problem, Refused, Says, shown
from splicewright.rulebook.amendment_files import LARGEST, MOST_KNOWN, AmendmentText
from splicewright.strict_fields import InputField, Items, Text, Word, about
from splicewright.strict_schema import Strict, load, made_once
from splicewright.toml_text import read_toml

_LARGEST = 200_000  # bytes
_MOST_CATALOGUES, _LARGEST_CATALOGUE = 200, 20_000_000
_MOST_COLUMNS, _MOST_WAIVERS = 200, 100


class WaiverSchema(Strict):
    """One finding that is accepted for a while."""

    rule = Text(200, required=True, metadata={"description": "the rule whose findings about this entry are waived"})
    reason = Text(500, required=True, metadata={"description": "why"})
    until = Text(40, required=True, metadata={"description": "the last day, as 2026-12-31"})


class Columns(InputField[dict[str, str]]):
    """Headings of tables, each with the column that it is read as."""

    kind = "columns"

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> dict[str, str]:
        if not isinstance(value, Mapping):
            raise ValidationError(Says('must be a table of headings, such as {"Wire" = "size"}', "wrong-type"))
        if len(value) > _MOST_COLUMNS:
            says = f"has {len(value)} headings; at most {_MOST_COLUMNS} are allowed"
            raise ValidationError(Says(says, "wrong-count"))
        wrong: dict[str | int, Any] = {
            key: [Says(f"{shown(column)} is not text; name a column", "wrong-type")]
            for key, column in value.items()
            if not isinstance(column, str)
        }
        if wrong:
            raise ValidationError(wrong)
        return dict(value)


class Service(InputField[dict[str, Any]]):
    """Settings of the service, which reads them itself."""

    kind = "settings"

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> dict[str, Any]:
        if isinstance(value, Mapping):
            return dict(value)
        raise ValidationError(Says("must be a table of settings: [service]", "wrong-type"))


class ProjectSchema(Strict):
    """What a project file may say; each key may be left out. A question's own word is stronger."""

    code = Word(v.CODES, metadata=about("The code edition whose rules are asked."))
    catalogue = Text(100, metadata=about("The catalogue whose connectors are offered, by its name."))
    amendments = amendments()
    catalogues = Text(4_000, metadata=about("A folder of catalogue files, beside the one that is shipped."))
    amendment_files = Text(4_000, metadata=about("A folder of amendments of the code."))
    # marshmallow takes fields off the class, so that it may be named like one of its own attributes
    only = fields.Nested(OnlySchema, metadata=about("The connectors and methods that answers keep to."))  # type: ignore[assignment]
    waive = Items(
        fields.Nested(WaiverSchema), 0, _MOST_WAIVERS, metadata=about("Findings accepted for a while, of every entry.")
    )
    columns = Columns(metadata=about("Headings of your tables, each with the column that it is read as."))
    service = Service(metadata=about("Settings of the service; a flag or the environment is stronger."))


@dataclass(frozen=True)
class Project:
    """A project file as it was read, with the bytes of the catalogues in its folder. Two that say the same are equal.

    `only` and `waive` are as written; `service` is not read here.
    """

    file: Path
    text: str = field(repr=False)
    shelf: tuple[tuple[str, bytes], ...] = field(default=(), repr=False)  # name of a catalogue, its file's content
    code: str | None = field(default=None, compare=False)
    catalogue: str | None = field(default=None, compare=False)
    amendments: tuple[str, ...] = ()
    amendments_from: str = "project"  # or `option`: of a command
    own_amendments: tuple[AmendmentText, ...] = field(default=(), repr=False)  # what the files of its folder hold
    only: Mapping[str, Any] = field(default_factory=dict, compare=False)
    catalogues: Path | None = field(default=None, compare=False)
    amendment_files: Path | None = field(default=None, compare=False)
    waive: tuple[Mapping[str, Any], ...] = field(default=(), compare=False)
    columns: Mapping[str, str] = field(default_factory=dict, compare=False)
    service: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)

    def catalogue_file(self, name: str) -> Path:
        """Give the file of a catalogue of its own."""
        assert self.catalogues is not None
        return self.catalogues / f"{name}{ENDING}"

    def fault(self, pointer: str, says: str) -> Fault:
        """Give what is wrong at a place of it, with its line."""
        return _fault(read_toml(self.text, str(self.file)), Problem(pointer, says))


def columns_of(project: Project | None, own: Mapping[str, str] | None = None) -> dict[str, str]:
    """Give for headings of tables the columns that they are: those of a project, and over them `own`."""
    return {**(project.columns if project else {}), **(own or {})}


def read_project(file: str | os.PathLike[str]) -> Project:
    """Read a project file and the catalogue files of its folder. Raises `Faults` with every fault, by its line."""
    path = Path(file)
    try:
        content = _content(path, _LARGEST)
        text = content.decode("utf-8-sig")
    except OSError as error:
        raise Faults([Fault(str(path), 0, "", error.strerror or str(error))]) from None
    except UnicodeDecodeError:
        raise Faults([Fault(str(path), 1, "", "is not UTF-8 text")]) from None
    return project_of(text, path, _shelf)


def project_of(text: str, path: Path, shelf: Any = None) -> Project:
    """Make a project of what its file holds; `shelf` reads its folder of catalogues (None: they are elsewhere).

    Raises `Faults`.
    """
    try:
        document = read_toml(text, str(path))
    except NotText as error:
        raise Faults([Fault(str(path), error.line or 1, "", error.problems[0].says)]) from None
    try:
        found = load(made_once(ProjectSchema), document.value)
        folders = {key: path.parent / found[key] for key in ("catalogues", "amendment_files") if key in found}
        catalogues = () if shelf is None or "catalogues" not in folders else shelf(folders["catalogues"])
        own_amendments = _amendments(folders["amendment_files"]) if shelf and "amendment_files" in folders else ()
    except Refused as error:
        raise Faults(_fault(document, problem) for problem in error.problems) from None
    return Project(
        file=path,
        text=text,
        shelf=catalogues,
        code=found.get("code"),
        catalogue=found.get("catalogue"),
        amendments=tuple(found.get("amendments", ())),
        own_amendments=own_amendments,
        only={key: words for key, words in found.get("only", {}).items() if words},
        **folders,
        waive=tuple(found.get("waive", ())),
        columns=found.get("columns", {}),
        service=found.get("service", {}),
    )


def _fault(document: Document, problem: Problem) -> Fault:
    return Fault(document.file, document.line(problem.pointer), problem.pointer[1:], problem.says)


def _shelf(folder: Path) -> tuple[tuple[str, bytes], ...]:
    """Read the catalogue files of a folder. Raises `Refused`, which points at the key that names it."""
    found = _files(folder, "/catalogues", _MOST_CATALOGUES, _LARGEST_CATALOGUE)
    return tuple([(file.stem, content) for file, content in found])


def _amendments(folder: Path) -> tuple[AmendmentText, ...]:
    """Read the files of amendments of a folder. Raises `Refused`, which points at the key that names it."""
    found = _files(folder, "/amendment_files", MOST_KNOWN, LARGEST)
    deeper = [one for one in sorted(folder.iterdir()) if one.is_dir() and not one.name.startswith(".")]
    if deeper:
        says = f"nothing reads this folder; put its files into {folder}, or elsewhere"
        raise Refused([Problem("/amendment_files", f"{one}: {says}") for one in deeper])
    return tuple([AmendmentText(file.stem, str(file), content) for file, content in found])


def _files(folder: Path, pointer: str, most: int, largest: int) -> list[tuple[Path, bytes]]:
    try:
        files = [one for one in sorted(folder.iterdir()) if is_yaml(one.name) and (one.is_file() or not one.exists())]
        if otherwise := [one for one in files if one.suffix != ENDING]:
            raise Refused([Problem(pointer, f"{one}: {call_it(one)}, or put it elsewhere") for one in otherwise])
        if len(files) > most:
            raise Refused([Problem(pointer, f"has {len(files)} files; at most {most} are read")])
        return [(file, _content(file, largest)) for file in files]
    except OSError as error:
        says = f"{error.filename or folder}: {error.strerror or error}; name the folder that your files are in"
        raise Refused([Problem(pointer, says)]) from None


def _content(path: Path, most: int) -> bytes:
    with path.open("rb") as stream:
        content = stream.read(most + 1)
    if len(content) > most:
        raise OSError(0, f"is larger than {most:,} bytes", str(path))
    return content
