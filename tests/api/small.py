"""A folder of few rules and connectors, which is proved in half a second: for tests of what a reload does."""

from __future__ import annotations

import re
from pathlib import Path

#: The file of rules, in its folder.
RULES = Path("nfpa70") / "environment.yaml"
_RULES = """\
ruleset: environment
about: What the place asks of a joint.
through: 2023
rules:
  - id: buried-is-wet
    when:
      - place: {exposure: buried}
    conclude: {place: wet}
    says: Here a joint in the ground stands in a wet location.
    source: common-practice
    examples:
      fires: [{place: {exposure: buried}}]
      silent: [{place: {exposure: damp}}]

  - id: joint-is-wet-rated
    when:
      - condition: {place: wet}
    demand: {places: {includes: wet}}
    says: Water gets into what is not made for it; use a connector listed for wet locations.
    source: common-practice
    examples:
      fires: [{place: {exposure: buried}}]
      silent: [{place: {exposure: damp}}]
"""
_CONNECTORS = """\
catalogue: shop
note: Invented for tests.
connectors:
  - id: lever-2-port
    about: Two ports with levers.
    method: lever
    takes:
      - materials: [copper]
        ports: [{count: 2, solid: {from: 22 AWG, to: 12 AWG}}]
    places: [dry]
    volts: 600 V
    degrees: 105 degC
    insulated: true
    reusable: true
    grounding: also
    tool: none
    strip: 11 mm
    outside: 20 x 16 x 9 mm
"""


def small_rulesets(folder: Path) -> Path:
    """Write such a folder, and give it back."""
    for path, text in ((folder / RULES, _RULES), (folder / "catalogues" / "shop.yaml", _CONNECTORS)):
        path.parent.mkdir(parents=True)
        path.write_text(text)
    return folder


def change(rulesets: Path, word: str = "Now") -> None:
    """Change the words of a rule that a joint in a dry place does not meet."""
    path = rulesets / RULES
    path.write_text(re.sub("says: .* joint in", f"says: {word} a joint in", path.read_text()))


def spoil(rulesets: Path) -> None:
    """Break the file of rules."""
    (rulesets / RULES).write_text("rules: [")
