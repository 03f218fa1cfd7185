"""What a demand or a preference may test: the listed attributes of a connector, each with its kind and words.

`catalogue/` gives every connector a value for each of them, or none where its listing is silent; a test on a silent
listing fails.
"""

from __future__ import annotations

from splicewright.question.fact_kinds import FactKind
from splicewright.question.vocabulary import CONSTRUCTION, END, MATERIAL, METHODS

PLACES = ("dry", "damp", "wet", "burial", "submersion")
RESISTS = ("salt-air", "chemical", "fertilizer", "swimming-pool", "sunlight", "vibration")

#: What a connector has only together with a joint.
OF_JOINT = ("fill", "spare_ports", "in_ports", "comfort")

ATTRIBUTES: dict[str, FactKind] = {
    kind.name: kind
    for kind in (
        FactKind("method", "word", tuple(METHODS), about="how it joins", means=METHODS),
        FactKind("materials", "words", tuple(MATERIAL), about="conductor metals it is listed for", means=MATERIAL),
        FactKind("intermixed", "flag", about="whether unlike metals may touch in it"),
        FactKind(
            "constructions",
            "words",
            tuple(CONSTRUCTION),
            about="conductor constructions it is listed for",
            means=CONSTRUCTION,
        ),
        FactKind("ends", "words", tuple(END), about="conductor ends it is listed for", means=END),
        FactKind("volts", "volts", about="most volts"),
        FactKind("luminaire_volts", "volts", about="most volts inside a luminaire or sign"),
        FactKind("degrees", "temperature", about="its operating temperature"),
        # A connector without amperes of its own carries what its conductors may.
        FactKind("amps", "amps", about="most amperes, where its listing has a figure of its own", rightly_silent=True),
        FactKind("places", "words", PLACES, about="places it is listed for"),
        FactKind("resists", "words", RESISTS, about="influences it is listed for"),
        FactKind("sealed", "flag", about="closed against moisture as one tested set"),
        FactKind("strain_relief", "flag", about="holds the conductors against a pull"),
        FactKind("insulated", "flag", about="its joint needs no other insulation"),
        FactKind("grounding", "word", ("also", "only", "no"), about="whether it may join grounding conductors"),
        FactKind("irreversible", "flag", about="cannot be undone without being destroyed"),
        FactKind("reusable", "flag", about="may be used again"),
        FactKind("uncut", "flag", about="takes a conductor that is not cut"),
        FactKind("caps", "flag", about="may close off one free end"),
        FactKind("permanent_aluminum_repair", "flag", about="counts as a permanent repair of old aluminum wiring"),
        FactKind("unboxed", "flag", about="listed for use without a box"),
        FactKind("wide_range", "flag", about="takes sizes far apart"),
        FactKind("test_port", "flag", about="has a port for a tester's probe"),
        FactKind("clear", "flag", about="shows each conductor's end"),
        FactKind(
            "tool",
            "word",
            ("none", "screwdriver", "wrench", "matched", "heat", "mould"),
            about="what closes it",
        ),
        FactKind("height", "length", about="its longest outside dimension"),
        FactKind("largest", "size", about="the largest conductor it takes"),
        FactKind("fill", "word", ("listed", "bracketed"), about="how this joint's conductors stand in its listing"),
        FactKind("spare_ports", "count", about="ports left empty by this joint; none where it has no ports"),
        FactKind("in_ports", "flag", about="this joint goes into ports, not into one shell for all"),
        FactKind(
            "comfort",
            "count",
            about="0 where this joint's metal is at the edge of what is listed, 100 midway, and 100 in ports",
        ),
    )
}
