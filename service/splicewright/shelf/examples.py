"""What an entry of three invented connectors looks like: the rows of a new workbook."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.shelf.layout import EXAMPLE_SAYS

_OF: Mapping[str, Any] = {
    "source.document": "carton",
    "source.read_on": "2026-11-30",
    "source.where": "side panel",
    "pack": 100,
    "insulated": True,
    "tool": "none",
    "grounding": "also",
}
#: The rows of a new workbook.
EXAMPLE_ROWS: Mapping[str, list[dict[str, Any]]] = {
    "connectors": [
        {
            **_OF, "id": "example-twist-on", "method": "twist-on", "about": EXAMPLE_SAYS, "name": "Twist-on, small",
            "places": ["dry", "damp"], "volts": "600 V", "luminaire_volts": "1000 V", "degrees": "105 degC",
            "reusable": True, "strip": "1/2 in", "outside": "1.1 x 0.6 in", "price": 14.9, "on_hand": 250,
        },
        {
            **_OF, "id": "example-lever", "method": "lever", "about": EXAMPLE_SAYS, "name": "Lever, 3 ports",
            "places": ["dry"], "volts": "600 V", "degrees": "90 degC", "amps": "20 A", "reusable": True,
            "strip": "11 mm", "outside": "20 x 19 x 9 mm", "pack": 50, "minutes": 1.5,
        },
        {
            **_OF, "id": "example-set-screw", "method": "set-screw", "about": EXAMPLE_SAYS,
            "name": "Set screws, 2 ports",
            "places": ["dry"], "volts": "600 V", "degrees": "90 degC", "tool": "screwdriver", "intermixed": False,
            "strip": "3/4 in",
        },
    ],
    "fillings": [
        {"id": "example-twist-on", "filling": "1", "size": "14 AWG", "constructions": ["solid", "stranded"],
         "materials": ["copper"], "least": 2, "most": 4},
        {"id": "example-twist-on", "filling": "2", "size": "12 AWG", "constructions": ["solid", "stranded"],
         "materials": ["copper"], "least": 1, "most": 2},
        {"id": "example-twist-on", "filling": "2", "size": "18 AWG", "constructions": ["stranded"],
         "materials": ["copper"], "least": 1, "most": 1},
    ],
    "ports": [
        {"id": "example-lever", "count": 3, "sizes": "20 AWG to 12 AWG", "materials": ["copper"],
         "constructions": ["solid", "stranded"], "port": "1"},
        {"id": "example-lever", "count": 3, "sizes": "18 AWG to 14 AWG", "materials": ["copper"],
         "constructions": ["fine-stranded"], "ends": ["plain", "ferruled"], "port": "1"},
        {"id": "example-set-screw", "count": 2, "sizes": "14 AWG to 6 AWG", "materials": ["copper", "aluminum"],
         "constructions": ["stranded"], "least": 2},
    ],
    "figures": [
        {"id": "example-set-screw", "figure": "torque", "sizes": "14 AWG to 10 AWG", "value": "20 lbf-in"},
        {"id": "example-set-screw", "figure": "torque", "sizes": "8 AWG to 6 AWG", "value": "35 lbf-in"},
    ],
}  # fmt: skip
