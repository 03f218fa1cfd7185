"""Tries files: all that is wrong in them, their examples, and what they change; run in a process of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from splicewright.answering import Chooser
from splicewright.catalogue import Catalogue
from splicewright.catalogue.checking import sound_catalogue
from splicewright.choice.floor import floor_faults
from splicewright.faults import Fault, Faults
from splicewright.impact.answer import impact_of
from splicewright.impact.boxes import FilledBox
from splicewright.impact.stacks import Stack
from splicewright.operate.amendment_check import unknown_before
from splicewright.operate.proving import proving_chooser
from splicewright.operate.rule_compiling import compiling_faults
from splicewright.operate.rule_examples import example_faults
from splicewright.operate.rule_notes import RuleNote, rule_notes
from splicewright.project.finding import FILE
from splicewright.project.reading import Project
from splicewright.question.vocabulary import CODES
from splicewright.refusals import Problem, Refused, Says
from splicewright.rulebook import Rule, Rulebook
from splicewright.rulebook.amendment_files import Amendment, AmendmentText, read_amendment_text
from splicewright.shelf.joints import ShelfJoint
from splicewright.yaml_text import read_data_file

Plain = dict[str, Any]


@dataclass(frozen=True)
class Trial:
    """What is tried: amendments and a catalogue by their files, on what, and joints and boxes to see what changes."""

    rulesets: Path
    project: Project | None
    code: str
    beneath: tuple[str, ...]
    catalogue: str | None
    files: tuple[AmendmentText, ...]
    copied: frozenset[str] = frozenset()  # amendments of the project that stand among those of `rulesets`
    joints: Sequence[ShelfJoint] = ()
    boxes: Sequence[FilledBox] = ()


@dataclass
class Tried:
    """What came of it."""

    faults: list[Fault] = field(default_factory=list)
    told: Plain = field(default_factory=dict)


def run_trial(trial: Trial, tell: Callable[[str], None] = lambda _: None) -> Tried:
    """Run a trial: every fault of every phase that can be reached, or what the files come to.

    `tell` is called with the id of each rule before it is compiled. An amendment that is among those beneath is tried
    in its place, any other over them. Raises `Refused` for a catalogue beneath that is not known.
    """
    tried = Tried()
    amendments, catalogue = _read(trial, tried)
    chooser = proving_chooser(trial.rulesets, _with(trial, amendments))
    stack = tuple(dict.fromkeys((*trial.beneath, *amendments)))
    rules = [rule for amendment in amendments.values() for rule in amendment.rules]
    beneath = _catalogue(trial, chooser)
    unfit = [*compiling_faults(rules, chooser.holding.rulebook(trial.code), tell)]
    tried.faults += [*unfit, *unknown_before(rules, chooser.holding.files)]
    if tried.faults and not amendments:
        return tried
    book = None
    try:
        book = chooser.holding.rulebook(trial.code, stack)
    except Faults as error:
        tried.faults += error.faults
    except KeyError as error:
        tried.faults.append(Fault("", 0, str(error.args[0]), "no amendment has this name"))
    if book is None or unfit:
        return tried
    for name, amendment in amendments.items():  # over what is laid before it: one after it may take its rules out
        tried.faults += example_faults(amendment.rules, trial.code, chooser, stack[: stack.index(name) + 1])
    if not tried.faults and amendments:
        tried.faults += floor_faults(trial.rulesets, chooser.holding.match, [(trial.code, stack)])
    if tried.faults:
        return tried
    found = catalogue or beneath
    new, old = Stack(book, found), Stack(_beneath(trial, chooser, amendments), beneath)
    impact = impact_of(old, new, trial.joints, trial.boxes) if trial.joints or trial.boxes else None
    told = new.to_dict()
    tried.told = {
        "rulesets": {key: told[key] for key in ("code", "amendments", "digest")},
        "catalogue": told["catalogue"],
        "examples": {"run": sum(len(rule.fires) + len(rule.silent) for rule in rules)},
        "notes": [
            note.to_dict()
            for note in (
                *_taken_out(book, amendments),
                *_notes(rules, trial, chooser, found),
                *_elsewhere(trial, chooser, amendments, stack),
            )
        ],
        "impact": None if impact is None else impact.to_dict(),
    }
    return tried


def _catalogue(trial: Trial, chooser: Chooser) -> Catalogue:
    """Give the catalogue beneath, by its name alone: whoever sends a trial names no file of this machine."""
    name = trial.catalogue or chooser.holding.unsaid.values.get("catalogue")
    if name is None:
        known = ", ".join(chooser.holding.catalogue_names())
        says = Says(f"no catalogue stands for it here; name one of: {known}", "missing")
        raise Refused([Problem("/catalogue", says)])
    return chooser.holding.index(name).catalogue


def _beneath(trial: Trial, chooser: Chooser, amendments: Mapping[str, Amendment]) -> Rulebook:
    """Give the rules beneath as they are, none of the files in the place of what they have."""
    if not amendments.keys().isdisjoint(trial.beneath):
        chooser = Chooser(trial.rulesets, project=trial.project)
    return chooser.holding.rulebook(trial.code, trial.beneath)


def _read(trial: Trial, tried: Tried) -> tuple[dict[str, Amendment], Catalogue | None]:
    """Read each file as what it is; what is wrong in one keeps no other from being read."""
    amendments: dict[str, Amendment] = {}
    catalogue: Catalogue | None = None
    for file in trial.files:
        try:
            value = read_data_file(file.content, file.file).value
            if isinstance(value, Mapping) and "connectors" in value:
                catalogue = sound_catalogue(file.content, file.file)
            elif isinstance(value, Mapping) and "ruleset" in value:
                read = read_amendment_text(file.content, file.file)
                amendments[read.name] = read
            else:
                says = "is neither an amendment (ruleset, about, amends) nor a catalogue (catalogue, connectors)"
                raise Faults([Fault(file.file, 1, "", says)])  # noqa: TRY301 - told like all else
        except Faults as error:
            tried.faults += error.faults
    return amendments, catalogue


def _with(trial: Trial, amendments: Mapping[str, Amendment]) -> Project:
    """Give the project with the amendments tried in it, each in place of one of its name."""
    base = trial.project or Project(file=Path(FILE), text="")
    own = {text.name: text for text in base.own_amendments}
    own |= {
        file.name: file._replace(instead=file.name in trial.copied) for file in trial.files if file.name in amendments
    }
    return replace(base, own_amendments=tuple(own.values()), amendments=())


def _notes(rules: Sequence[Rule], trial: Trial, chooser: Chooser, catalogue: Catalogue) -> Iterator[RuleNote]:
    own = {rule.id for rule in rules}
    others = [rule for rule in chooser.holding.rulebook(trial.code, trial.beneath).rules if rule.id not in own]
    return rule_notes(rules, others, trial.code, catalogue)


def _taken_out(book: Rulebook, amendments: Mapping[str, Amendment]) -> Iterator[RuleNote]:
    """Tell which rules of a file that is tried another one takes out: with both of them laid they do nothing."""
    for gone in book.amended:
        rule = gone.rule
        if rule.amendment in amendments and gone.amendment in amendments:
            says = f"{rule.id} ({rule.file}:{rule.line}) is {gone.did}, which is tried with it"
            yield RuleNote(gone.file, gone.line, rule.id, says, "leave one of the two out, unless it is meant")


def _elsewhere(
    trial: Trial, chooser: Chooser, amendments: Mapping[str, Amendment], stack: Sequence[str]
) -> Iterator[RuleNote]:
    """Tell where the amendments can't be laid over another edition that they say they are for.

    Those beneath that are not for it are left out: what is tried is held to what it says itself.
    """
    known = chooser.holding.files.amendments.fit
    for code in CODES:
        here = [name for name in stack if known[name].holds_for(code)]
        if code == trial.code or amendments.keys().isdisjoint(here):
            continue
        try:
            chooser.holding.rulebook(code, here)
        except Faults as error:
            write = "mend it for this edition too, or leave the edition out of amends"
            for fault in error.faults:
                if fault.file in {amendment.file for amendment in amendments.values()}:
                    yield RuleNote(fault.file, fault.line, fault.part, f"over {code}: {fault.says}", write)
