"""A check with a finding of every kind, for the reports to write."""

from __future__ import annotations

from pathlib import Path

from splicewright.audit.baseline import baseline_text, read_baseline
from splicewright.audit.run import Audited
from tests.audit.folder import BARRED, FINE, RULE, audited, write
from tests.sheets.tables import workbook

HEAD = ["id", "quantity", "size", "count", "exposure", "insulation", "volts", "amps", "overcurrent amps", "continuous"]
HEAD += ["room", "current carrying"]
ROWS = [
    ["k1", 3, "12 AWG", 2, "dry", "THHN", "120 V", 8, 15, "no", "yes", 3],
    ["k1", None, "14 AWG", 1, None, "THHN", None, None, None, None, None, None],
    ["k2", 1, "12 AWG", 2, "dryy", "THHN", 120, 8, 15, "no", "yes", 3],
]


def everything(folder: Path, *, keep_asked: bool = False) -> Audited:
    """Check a folder that has an error, a warning, a note, a cell, a waived and a known finding."""
    write(
        folder,
        {
            "jobs/<a> & ü.yaml": f"---\nid: '=known\x07'\n{BARRED}".replace("\x07", ""),
            "jobs/fine.yaml": f"id: fine\n{FINE}",
        },
    )
    known = folder / ".baseline.json"
    known.write_text(baseline_text(audited(folder).findings))
    write(
        folder,
        {
            "jobs/new.yaml": f"""---
id: barred
{BARRED}---
id: waived
{BARRED}waive: [{{rule: {RULE}, reason: old run, until: 2026-12-31}}]
---
id: handed-over
{FINE.replace("amps: 8", "amps: 8, kind: service")}---
id: wanting
joint: {{conductors: [{{size: 12 AWG, count: 2}}]}}
place: {{room: true, current_carrying: 3}}
""",
            "sheets/slip.xlsx": workbook(HEAD, *ROWS),
            "broken.json": '{"joint": ',
        },
    )
    return audited(folder, baseline=read_baseline(known, ".baseline.json"), keep_asked=keep_asked)
