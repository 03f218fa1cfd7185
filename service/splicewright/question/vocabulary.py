"""The closed lists of words that a question may use, each with its meaning: for forms, errors and rules."""

from __future__ import annotations

CODES = {
    "nfpa70-2017": "NFPA 70, edition 2017",
    "nfpa70-2020": "NFPA 70, edition 2020",
    "nfpa70-2023": "NFPA 70, edition 2023",
}
EXPLAIN = {"full": "everything, with proofs", "brief": "outcome, options and bars only"}
PURPOSE = {
    "splice": "two or more ends joined",
    "tap": "a branch made on another conductor",
    "cap": "a free end closed off",
}
MATERIAL = {
    "copper": "copper",
    "aluminum": "aluminum alloy",
    "copper-clad-aluminum": "aluminum with a bonded copper skin",
}
CONSTRUCTION = {
    "solid": "one wire",
    "stranded": "class B or C strands, IEC class 2",
    "fine-stranded": "strands finer than class C, IEC class 5 or 6",
}
FINISH = {"plain": "bare metal strands", "tinned": "plated strands"}
END = {
    "plain": "stripped",
    "ferruled": "a crimped ferrule",
    "bonded": "tip welded at the factory",
    "solder-dipped": "tip dipped in solder",
}
CONDITION = {
    "sound": "undamaged",
    "nicked": "cut into by the stripping tool or otherwise",
    "burnt": "overheated, discoloured or brittle",
    "painted": "paint on the metal",
    "corroded": "oxidised or eaten",
}
CABLE = {
    "none": "single conductors",
    "NM": "nonmetallic-sheathed cable",
    "UF": "underground feeder cable",
    "MC": "metal-clad cable",
    "AC": "armored cable",
    "cord": "flexible cord",
    "pump-cable": "submersible pump cable",
}
ROLE = {
    "ungrounded": "a hot conductor",
    "grounded": "the neutral or other grounded conductor",
    "equipment-grounding": "an equipment grounding conductor",
    "isolated-grounding": "an insulated grounding conductor kept apart",
    "grounding-electrode": "a conductor to a grounding electrode",
    "control": "a control or signal conductor",
}
PATH = {"ends": "ends in the joint", "through": "passes through uncut; a tap is made on it"}
EXPOSURE = {
    "dry": "a dry location",
    "damp": "a damp location",
    "wet": "a wet location",
    "buried": "in the ground",
    "submerged": "under water",
}
SITE = {"indoors": "inside a building", "outdoors": "outside"}
ENCLOSURE = {
    "box": "an outlet, device or junction box",
    "conduit-body": "a conduit body marked with its volume",
    "short-radius-body": "a capped elbow or other short-radius body",
    "panelboard": "a panelboard",
    "cabinet": "a cabinet or cutout box",
    "wireway": "a wireway with a removable cover",
    "equipment": "the wiring space of equipment",
    "luminaire": "the wiring space of a luminaire",
    "handhole": "an underground handhole",
    "raceway": "the inside of a conduit or tubing",
    "cable-tray": "a cable tray",
    "none": "no enclosure",
}
BOX_MATERIAL = {"metal": "a metal enclosure", "nonmetallic": "an enclosure of insulating material"}
REACH = {"accessible": "can be reached without taking out structure or finish", "concealed": "closed in"}
MOVEMENT = {"still": "does not move", "vibrating": "shakes", "flexing": "is bent in use"}
CORROSION = {
    "salt-air": "sea air",
    "chemical": "chemical fumes or splashes",
    "fertilizer": "fertilizer or manure",
    "swimming-pool": "pool water and its vapors",
}
COVER = {
    "general": "lawn, garden and everything not named",
    "trench-2in-concrete": "in a trench under 2 in of concrete",
    "under-building": "under a building",
    "under-4in-slab": "under a 4 in outdoor slab without vehicles",
    "street-or-parking-lot": "under streets, roads and parking lots",
    "dwelling-driveway": "under the drive of a one- or two-family dwelling",
    "airport-runway": "in or under runways",
}
WIRING = {
    "direct": "directly buried",
    "metal-raceway": "in rigid or intermediate metal conduit",
    "pvc-raceway": "in nonmetallic raceway or electrical metallic tubing",
}
KIND = {
    "branch": "a branch circuit",
    "feeder": "a feeder",
    "service": "service conductors",
    "luminaire": "wiring of a luminaire",
    "low-voltage-landscape": "low-voltage garden lighting",
    "irrigation": "irrigation control",
    "control": "a control circuit",
    "class-2": "a Class 2 circuit",
    "communications": "a communications circuit",
    "fire-alarm": "a fire alarm circuit",
    "emergency": "an emergency circuit",
    "patient-care": "wiring of a patient care space",
}
SERVES = {
    "general": "general use",
    "motor": "a motor",
    "lighting": "lighting",
    "heating": "fixed heating",
    "pump": "a pump",
}
REOPENED = {
    "never": "not meant to be opened again",
    "rarely": "opened for repairs",
    "often": "opened for service",
}
WIRING_AGE = {
    "new": "new wiring",
    "aluminum-branch": "old solid aluminum branch wiring",
    "knob-and-tube": "old knob-and-tube wiring",
    "other-existing": "other existing wiring",
}
LENGTH_UNITS = ("in", "mm")
TEMPERATURE_UNITS = ("degC", "degF")

#: Circuit kinds whose volts are not assumed: they run at whatever their supply gives.
LOW_VOLTAGE_KINDS = ("low-voltage-landscape", "irrigation", "control", "class-2", "communications")

METHODS = {
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
}
PHASES = (
    "make-safe", "prepare", "strip", "treat", "align", "twist", "trim", "inspect",
    "close", "torque", "tug", "secure", "seal", "prove", "fold",
)  # fmt: skip
