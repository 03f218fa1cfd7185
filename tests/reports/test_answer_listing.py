"""What is printed of a listing: figures by conductor, where it was read, what it does not state."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from splicewright.cli.main import main

ASKED = """\
joint: {conductors: [{size: 10 AWG, construction: stranded}, {size: 2 AWG, construction: stranded}]}
catalogue:
  catalogue: mine
  note: Mine.
  connectors:
    - id: sleeve
      method: set-screw
      takes: [{materials: [copper], ports: [{count: 2, stranded: {from: 12 AWG, to: 250 kcmil}}]}]
      places: [dry]
      volts: 600 V
      degrees: 90 degC
      insulated: true
      grounding: GROUNDING
      tool: wrench
      strip: 32 mm
      torque: [{from: 12 AWG, to: 8 AWG, torque: 75 lbf-in}, {from: 6 AWG, to: 1 AWG, torque: 140 lbf-in}]
      source: {document: carton, where: side, read_on: 2026-11-30}
"""


def printed(tmp_path: Path, text: str) -> str:
    path = tmp_path / "question.yaml"
    path.write_text(text)
    result = CliRunner().invoke(main, ["choose", str(path)])
    assert result.exit_code in (0, 1), result.output
    return result.stdout


def test_figures_by_conductor_and_where_they_were_read(tmp_path: Path) -> None:
    found = printed(tmp_path, ASKED.replace("GROUNDING", "also"))
    assert "torque 140 lbf-in" in found
    assert "torque 2 AWG copper: 140 lbf-in" in found
    assert "torque 10 AWG copper: 75 lbf-in" in found
    assert "Listing  carton, side, read 2026-11-30" in found


def test_what_is_unproven_is_told_as_such(tmp_path: Path) -> None:
    found = printed(tmp_path, ASKED.replace("      grounding: GROUNDING\n", ""))
    assert "sleeve: unproven; grounding: not stated by its listing; look for" in found
    assert "1 connector unproven: would do, if the listing stated what is asked" in found
