"""Where on a carton each thing stands, and what an entry of three invented connectors looks like."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.shelf.layout import EXAMPLE_SAYS

_RATINGS = "the line of ratings, near the marks of the testing laboratory"
_CHART = "a line of the chart of wire combinations"
_OPENING = "beside the opening on the body, or in the table of wire ranges"
_NOWHERE = "not on the carton: it is yours to say"
#: By sheet and key, or by key alone.
_WHERE: Mapping[str, str] = {
    "connectors.id": _NOWHERE,
    "id": "the name that you gave it on the sheet connectors",
    "method": "what it is called and how it is closed: turned on, pushed in, a lever, a screw, a crimp",
    "about": _NOWHERE,
    "name": "the name on the front",
    "part_number": "beside the bar code, or on the edge of the carton",
    "places": "words such as damp, wet, direct burial, submersible; where none is printed leave it blank",
    "volts": f"{_RATINGS}: 600 V, building wire",
    "luminaire_volts": f"{_RATINGS}: a second, higher figure for signs and luminaires",
    "degrees": f"{_RATINGS}: 105 C or 221 F",
    "amps": f"{_RATINGS}; many cartons have none: then leave it blank",
    "insulated": "what it is: a bare sleeve, bolt or lug is not insulated",
    "reusable": "the instructions: may be used again, or single use",
    "irreversible": "what it is: a crimp, a fused or a cast joint cannot be undone",
    "grounding": "words about grounding or bonding conductors",
    "tool": "the instructions: by hand, a screwdriver, a wrench, a tool made for it, heat, a mold",
    "connectors.strip": "the instructions: strip length; or a gauge molded on the body",
    "outside": "a drawing with dimensions; else measure one",
    "pack": "the front: how many are in it",
    "price": "your invoice",
    "on_hand": "your shelf",
    "minutes": _NOWHERE,
    "source.document": "what you hold: carton, instruction sheet, page",
    "source.read_on": "today",
    "source.where": "which side of the carton, or which page",
    "source.read_by": "you",
    "resists": "words such as sunlight, salt, chlorine, oil, vibration",
    "sealed": "words such as sealed, waterproof set, filled with sealant",
    "strain_relief": "words about holding a cable or cord",
    "intermixed": "AL/CU or CU/AL with the words that metals may touch in it",
    "uncut": "the instructions: the main conductor is not cut",
    "caps": "the chart: a line with one conductor alone",
    "permanent_aluminum_repair": "words about repair of old aluminum branch wiring",
    "unboxed": "words that it may be used without a box",
    "wide_range": "the chart: sizes far apart in one line",
    "test_port": "a hole for a probe",
    "clear": "a body that is seen through",
    "connectors.constructions": "SOL, STR or both, said once for the whole chart",
    "connectors.materials": "CU, AL or CU-CLAD, said once for the whole chart",
    "connectors.ends": "words about ferrules or bonded strands, said once for the whole chart",
    "constructions": "SOL for solid, STR for stranded, words such as fine or flexible, beside the sizes",
    "materials": "CU, AL or CU-CLAD beside the sizes",
    "ends": "words about ferrules, or about bonded (tinned) strands",
    "group": _NOWHERE,
    "fillings.filling": f"{_CHART}: number the lines yourself, one number for what goes in together",
    "fillings.size": f"{_CHART}: #14 is 14 AWG",
    "fillings.least": f"{_CHART}: the smaller number of conductors",
    "fillings.most": f"{_CHART}: the larger number; the same where only one is printed",
    "metal.from": "a range of total wire area, in circular mils or mm2",
    "metal.to": "the end of that range",
    "metal.least": "beside that range: the fewest wires",
    "metal.most": "beside that range: the most wires",
    "metal.thinnest": "beside that range: the thinnest wire",
    "metal.thickest": "beside that range: the thickest wire",
    "ports.count": "the openings, counted on the body",
    "ports.sizes": _OPENING,
    "ports.conductors": "the instructions; one in each where nothing is said",
    "ports.strip": "the gauge on the body, or the table of wire ranges",
    "ports.torque": "the tightening table",
    "ports.port": _NOWHERE,
    "ports.least": "what it is: a butt splice is for two",
    "figures.figure": "a table with several figures, one for each range of sizes or each metal",
    "figures.sizes": "the range of a line of that table",
    "figures.materials": "CU or AL in that line",
    "figures.value": "the figure of that line",
    "torque": "the tightening figure, where there is one for all sizes",
}


def where_on_a_carton(sheet: str, key: str) -> str:
    """Give where on a carton a thing stands; empty of what is said once for all connectors."""
    return _WHERE.get(f"{sheet}.{key}", _WHERE.get(key, ""))


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
            "places": ["dry"], "volts": "600 V", "degrees": "90 degC", "tool": "screwdriver", "strip": "3/4 in",
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
