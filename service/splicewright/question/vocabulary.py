"""The closed lists of words that a question may use, each with its meaning: for forms, errors and rules."""

from __future__ import annotations

import functools
from collections.abc import Mapping

from splicewright.codes import codes
from splicewright.nearest_word import Spoken, Synonyms
from splicewright.question.synonyms import synonyms


def _spoken(name: str, words: Mapping[str, str]) -> Spoken:
    """Let words go with what people say instead of them, so that whatever refuses a word can tell what to say."""
    return Spoken(functools.partial(synonyms, name), words)


CODES = Spoken(lambda: Synonyms(codes().unread(), {}), codes().offered())
PURPOSE = _spoken(
    "purpose",
    {
        "splice": "two or more ends joined",
        "tap": "a branch made on another conductor",
        "cap": "a free end closed off",
    },
)
MATERIAL = _spoken(
    "material",
    {"copper": "copper", "aluminum": "aluminum alloy", "copper-clad-aluminum": "aluminum with a copper skin"},
)
CONSTRUCTION = _spoken(
    "construction",
    {
        "solid": "one wire",
        "stranded": "class B or C strands, IEC class 2",
        "fine-stranded": "strands finer than class C, IEC class 5 or 6",
    },
)
FINISH = _spoken("finish", {"plain": "bare metal strands", "tinned": "plated strands"})
END = _spoken(
    "end",
    {
        "plain": "stripped",
        "ferruled": "a crimped ferrule",
        "bonded": "tip welded at the factory",
        "solder-dipped": "tip dipped in solder",
    },
)
CONDITION = _spoken(
    "condition",
    {
        "sound": "undamaged",
        "nicked": "cut into by the stripping tool or otherwise",
        "burnt": "overheated, discolored or brittle",
        "painted": "paint on the metal",
        "corroded": "oxidised or eaten",
    },
)
CABLE = _spoken(
    "cable",
    {
        "none": "single conductors",
        "NM": "nonmetallic-sheathed cable",
        "UF": "underground feeder cable",
        "MC": "metal-clad cable",
        "AC": "armored cable",
        "cord": "flexible cord",
        "pump-cable": "submersible pump cable",
        "SE": "service-entrance cable, above ground; that of style R is SER",
        "SER": "round service-entrance cable, with an insulated neutral and a bare grounding wire; above ground",
        "USE": "underground service-entrance cable; no single wire marked RHW-2 too, which is none",
        "TC": "power and control tray cable",
        "MI": "mineral-insulated, metal-sheathed cable",
        "PV": "photovoltaic wire or cable, of a solar array's direct current",
        "equipment-leads": "no cable: leads that listed equipment (fan, oven, luminaire) came with; no wire run to it",
    },
)
ROLE = _spoken(
    "role",
    {
        "ungrounded": "a hot conductor",
        "grounded": "the neutral or other grounded conductor",
        "equipment-grounding": "an equipment grounding conductor",
        "isolated-grounding": "an insulated grounding conductor kept apart",
        "grounding-electrode": "a conductor to a grounding electrode",
        "bonding": "a bonding jumper of pipes, a pool's grid or systems; a circuit's own wire is equipment-grounding",
        "control": "a conductor of a control or signal circuit; a switch leg is ungrounded, whatever it switches",
    },
)
PATH = _spoken("path", {"ends": "ends in the joint", "through": "passes through uncut; a tap is made on it"})
EXPOSURE = _spoken(
    "exposure",
    {
        "dry": "a dry location",
        "damp": "a damp location",
        "wet": "a wet location",
        "buried": "in the ground",
        "submerged": "under water",
    },
)
PREMISES = _spoken(
    "premises",
    {
        "general": "anywhere not named",
        "marina": "a marina, dock, pier or boathouse, at the water or over it",
        "agricultural": "farm buildings with dust and dirt, or wet or corrosive air; no farmhouse, shop or clean shed",
        "construction-site": "where something is built, remodeled or torn down; how its wiring is, is temporary",
        "mobile-home": "a mobile or manufactured home, and its lot",
        "recreational-vehicle": "a recreational vehicle, and its site in a park; not the house that it stands beside",
        "elevator": "the hoistway, pit, machine room or car of an elevator, escalator or lift, and its circuits",
        "pool": "a swimming pool, its deck and its equipment; indoors its vapors are swimming-pool at corrosion",
        "spa": "at a hot tub or spa; the circuit that feeds one from elsewhere is hot-tub at serves",
        "fountain": "a fountain or display pool",
        "body-of-water": "a pond, lake or basin, natural or made; docks and boathouses are marina, pools are pool",
    },
)
AIR_SPACE = _spoken(
    "air-space",
    {
        "none": "no air is moved through it",
        "plenum": "a space that air is moved through beside its use, such as above a ceiling; no attic",
        "duct": "the inside of a duct made for air",
    },
)
SITE = _spoken("site", {"indoors": "inside a building", "outdoors": "outside"})
ENCLOSURE = _spoken(
    "enclosure",
    {
        "box": "an outlet, device or junction box",
        "conduit-body": "a conduit body marked with its volume",
        "short-radius-body": "a capped elbow or other short-radius body",
        "panelboard": "a panelboard",
        "cabinet": "a cabinet or cutout box",
        "wireway": "a wireway with a removable cover",
        "equipment": "the wiring space of equipment",
        "luminaire": "the wiring space of a luminaire",
        "handhole": "a handhole in the ground, or the one in the base of a pole",
        "raceway": "the inside of a conduit or tubing",
        "cable-tray": "a cable tray",
        "none": "no enclosure",
    },
)
BOX_MATERIAL = _spoken(
    "box-material", {"metal": "a metal enclosure", "nonmetallic": "an enclosure of insulating material"}
)
REACH = _spoken(
    "reach", {"accessible": "can be reached without taking out structure or finish", "concealed": "closed in"}
)
MOVEMENT = _spoken("movement", {"still": "does not move", "vibrating": "shakes", "flexing": "is bent in use"})
CORROSION = _spoken(
    "corrosion",
    {
        "salt-air": "sea air",
        "chemical": "chemical fumes or splashes",
        "fertilizer": "fertilizer or manure",
        "swimming-pool": "pool water and its vapors",
    },
)
COVER = _spoken(
    "cover",
    {
        "general": "lawn, garden and everything not named",
        "trench-2in-concrete": "in a trench under 2 in of concrete",
        "under-building": "under a building",
        "under-4in-slab": "under a 4 in outdoor slab without vehicles",
        "street-or-parking-lot": "under streets, roads and parking lots",
        "dwelling-driveway": "under the drive of a one- or two-family dwelling",
        "airport-runway": "in or under runways",
    },
)
WIRING = _spoken(
    "wiring",
    {
        "direct": "directly buried",
        "rigid-conduit": "in rigid or intermediate metal conduit; metallic tubing is emt",
        "emt": "in electrical metallic tubing, which needs more cover than rigid conduit",
        "pvc-raceway": "in nonmetallic raceway",
    },
)
KIND = _spoken(
    "kind",
    {
        "branch": "a branch circuit",
        "feeder": "a feeder",
        "service": "service conductors",
        "luminaire": "wiring of a luminaire",
        "low-voltage-landscape": "low-voltage garden lighting",
        "irrigation": "irrigation control",
        "control": "a circuit that only commands others, such as a starter's; no switched lighting circuit",
        "class-2": "a Class 2 circuit, by the marks of its supply",
        "communications": "a communications circuit",
        "fire-alarm": "a fire alarm circuit",
        "emergency": "an emergency circuit",
        "patient-care": "wiring of a patient care space",
    },
)
SERVES = _spoken(
    "serves",
    {
        "general": "general use",
        "motor": "a motor",
        "lighting": "lighting",
        "heating": "fixed heating of rooms",
        "pump": "a pump",
        "underwater-lighting": "luminaires set under water, in a pool or fountain",
        "range": "a household range, cooktop or oven",
        "dryer": "a clothes dryer",
        "dishwasher": "a dishwasher",
        "disposer": "a kitchen waste disposer",
        "water-heater": "a storage water heater of 120 gal or less; a larger one, or one without a tank, is general",
        "heat-trace": "heating cable on pipes and roofs or in pavement; heating of rooms is heating",
        "air-conditioner": "an air conditioner, heat pump or other sealed compressor; its blower alone is motor",
        "fan": "a listed ceiling, bath or attic fan; a fan's motor with a starter of its own is motor",
        "hot-tub": "a hot tub's pump, heater and controls; its lights are underwater-lighting",
        "vehicle-charging": "charging equipment for electric vehicles, or a receptacle for it",
        "welder": "an electric welder",
        "fire-pump": "a fire pump, its jockey pump excepted; any other pump is pump",
    },
)
SOURCE = _spoken(
    "source",
    {
        "utility": "the service of the premises, through whatever panels",
        "transfer-switch": "behind a transfer switch: the service or a generator, whichever it stands on",
        "generator": "a generator, ahead of its transfer switch",
        "separately-derived": "a transformer of the premises, or another source whose neutral is its own",
        "photovoltaic": "solar panels, on their dc side; what their inverter gives out is inverter",
        "inverter": "what an inverter of solar panels or batteries gives out; no drive of a motor",
        "battery": "batteries that store energy or stand by, on their dc side; not those within listed equipment",
    },
)
OVERCURRENT_DEVICE = _spoken(
    "overcurrent-device",
    {
        "inverse-time-breaker": "a breaker that trips by heat and at once, as common ones do",
        "instantaneous-trip-breaker": "a breaker that trips at once only, set within a listed motor starter",
        "time-delay-fuse": "a dual-element fuse, with time delay",
        "nontime-delay-fuse": "a fuse with no time delay",
    },
)
CURRENT = _spoken("current", {"ac": "alternating current", "dc": "direct current"})
REOPENED = _spoken(
    "reopened", {"never": "not meant to be opened again", "rarely": "opened for repairs", "often": "opened for service"}
)
WIRING_AGE = _spoken(
    "wiring-age",
    {
        "new": "new wiring",
        "aluminum-branch": "old solid aluminum branch wiring",
        "knob-and-tube": "old knob-and-tube wiring",
        "other-existing": "other existing wiring",
    },
)
LENGTH_UNITS = {"in": "inches", "mm": "millimeters"}
TEMPERATURE_UNITS = {"degC": "degrees Celsius", "degF": "degrees Fahrenheit"}

#: Circuit kinds whose volts are not assumed: they run at whatever their supply gives.
LOW_VOLTAGE_KINDS = ("low-voltage-landscape", "irrigation", "control", "class-2", "communications")
#: Sources of direct current, whose volts are not assumed either.
DC_SOURCES = ("photovoltaic", "battery")

METHODS = _spoken(
    "methods",
    {
        "twist-on": "insulated shell with a spring, turned onto the conductors",
        "push-in": "spring ports that conductors are pushed into",
        "lever": "spring ports opened by a lever",
        "closed-end-crimp": "insulated sleeve closed at one end, crimped",
        "butt-crimp": "sleeve that joins two ends in line, crimped",
        "ground-crimp": "bare sleeve crimped onto grounding conductors",
        "ground-twist-on": "shell with a hole for one grounding conductor to pass on",
        "set-screw": "ports or a sleeve closed by screws",
        "split-bolt": "slotted bolt and nut that clamp conductors together",
        "compression": "sleeve or tap compressed by a matched die",
        "insulation-displacement": "contacts that cut through the insulation",
        "terminal-block": "screw or spring terminals on a block",
        "solder": "mechanically sound joint run with solder",
        "exothermic": "joint welded by a molten charge in a mould",
        "shrink-splice": "crimped or screwed joint under sealing shrink tubing",
        "cable-splice-device": "listed device that joins sheathed cable without a box",
        "luminaire-disconnect": "plug-together connector for luminaires",
        "direct-burial-splice": "sealed joint set for the ground",
        "bolted-lug": "a lug crimped on each lead, bolted to the others under a boot or tape",
        "fused-disconnect": "in-line holder of a fuse that pulls apart, for one hot conductor; no switch under load",
    },
)
#: What a proposed splice may say of itself: how it was made up, and what was done to prove it.
PROPOSED = {
    "strip": "how long the ends were stripped",
    "pre_twisted": "the ends were twisted together before the connector went on",
    "lead_advance": "the stranded lead stood ahead of the solid one: whether, or how far",
    "inhibitor": "aluminum was brushed and coated with inhibitor, or the connector is prefilled",
    "torque": "what the screw or nut was tightened to",
    "tugged": "each conductor was pulled on its own, and held",
    "taped": "tape was wound on the way the connector tightens",
    "tied": "the conductors were tied together close behind the connector",
    "strain_relief": "what pulls on the conductors is held ahead of the joint",
    "covered": "a bare connector and all bare metal were covered with insulation equal to the conductors'",
    "sealed": "the seal was closed as its sheet says, with sealant all round",
    "reused": "the connector was used before",
}
#: Figures of make-up: what a listing states, a step takes from it, and a proposal tells; they may differ from conductor
#: to conductor.
MAKE_UP_FIGURES = ("strip", "torque")
#: What a work step proves -> the word of a proposal that says it was done.
PROVES = {
    "stripped": "strip",
    "torqued": "torque",
    **{word: word for word in PROPOSED if word not in (*MAKE_UP_FIGURES, "reused")},
}
SIGNS = {
    "conductor-moves": "a conductor slips or turns when it is pulled",
    "conductor-straight-up-the-middle": "a conductor runs straight up the middle, the others only wrapped round it",
    "bare-metal-outside": "bare metal shows outside the connector",
    "discoloured-insulation": "insulation is browned, brittle or melted at the joint",
    "single-use-reused": "a connector that is used once shows that it was on other conductors before",
    "connector-damaged": "the connector is cracked, melted or charred",
    "nicked-conductor": "a conductor is nicked, or strands are cut",
    "stray-strands": "strands stand outside the connector or its clamp",
    "short-of-the-stop": "a conductor ends short of the stop or the contact",
    "insulation-in-the-clamp": "insulation lies under the clamp, spring or crimp",
    "not-closed-home": "a lever, latch, half or shell is not closed all the way",
    "conductors-crossed": "conductors lie crossed under the clamp",
    "plain-pliers-crimp": "a crimp shows no mark of its die",
    "too-many-in-one-port": "a port or clamp holds more conductors than it is listed for",
    "insulation-not-level": "the insulation of the conductors ends at different heights",
    "sealant-not-all-round": "sealant does not close round the connector and every lead",
    "moisture-inside": "water stands or has dried inside",
    "corroded-metal": "metal in the joint is green, white or eaten",
}
STRIP_UNITS = ("mm", "cm", "in")
TORQUE_UNITS = ("N-m", "lbf-in", "lbf-ft")

PHASES = {
    "make-safe": "switch off, lock out, prove dead",
    "prepare": "lay out, measure and clean",
    "strip": "take off the insulation",
    "treat": "what is put onto the metal",
    "align": "bring the conductors together",
    "twist": "twist conductors, or turn the connector on",
    "trim": "cut to length",
    "inspect": "look before it is closed",
    "close": "close the connector",
    "torque": "tighten to a figure",
    "tug": "pull each conductor",
    "secure": "tape, tie, relieve of strain",
    "seal": "keep water out",
    "prove": "test the finished joint",
    "fold": "lay it into the box, close up",
}
