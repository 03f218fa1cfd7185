"""A folder of work to check, and what is found in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from splicewright.answering import shipped_chooser
from splicewright.audit.baseline import Baseline
from splicewright.audit.files import find_files
from splicewright.audit.run import Audited, audit

ON = dt.date(2026, 11, 25)
#: A joint that nothing is to be said about, not even a note.
FINE = """joint: {conductors: [{size: 12 AWG, count: 2, insulation: THHN}]}
circuit: {volts: 120, amps: 8, overcurrent_amps: 15, continuous: false}
place: {room: true, current_carrying: 3}
"""


def placed(leaves: str) -> str:
    """Give such a joint with more said of its place."""
    return FINE.replace("place: {", f"place: {{{leaves}, ")


BARRED = placed("enclosure: raceway")
RULE = "access/never-inside-a-raceway"


def write(folder: Path, files: Mapping[str, str | bytes]) -> None:
    """Write files, making their folders."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())


def audited(folder: Path, *paths: str, baseline: Baseline | None = None, **options: Any) -> Audited:
    """Check paths of a folder, from within it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        sources = find_files(paths or ["."])
        return audit(sources, shipped_chooser(), on=options.pop("on", ON), baseline=baseline, **options)


def told(found: Audited) -> list[tuple[str, int, str, str]]:
    """Give the findings that count as file, line, level and rule."""
    return [
        (finding.file, finding.spot.line, finding.level, finding.rule) for finding in found.findings if finding.counts
    ]


PUSHED_IN = """proposal: {connector: push-in-2-port, strip: {value: 11, unit: mm},
           tugged: true, taped: true, tied: true, covered: true}
"""


def repository(folder: Path) -> list[tuple[str, int, str, str]]:
    """Write 200 files of joints, five of them with a fault; give the faults."""
    for number in range(200):
        write(folder, {f"jobs/site-{number:03}.yaml": "".join(f"---\nid: j{at}\n{FINE}" for at in range(5))})
    faults = {
        "jobs/site-007.yaml": ("id: j9\n" + BARRED, 30, RULE),
        "jobs/site-050.yaml": ("id: j9\n" + placed("exposure: dryy"), 30, "input/invalid"),
        "jobs/site-051.yaml": ("id: j9\n" + FINE + "plaice: {}\n", 31, "input/invalid"),
        "jobs/site-120.yaml": ("jiont: 1\n", 27, "input/unrecognized"),
        "jobs/site-199.yaml": (
            f"id: j9\n{placed('movement: vibrating')}{PUSHED_IN}",
            31,
            "vibration/no-push-in-where-it-moves",
        ),
    }
    for name, (text, _, _) in faults.items():
        path = folder / name
        path.write_text(path.read_text() + "---\n" + text)
    return [(name, line, "error", rule) for name, (_, line, rule) in faults.items()]
