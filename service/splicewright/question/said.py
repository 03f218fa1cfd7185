"""What people say instead of the words of a question, by the leaf: what is refused, and told what to say.

Under each word stand those said instead of it, in small letters with hyphens; then, for those of several meanings, a
sentence that goes on after "say".
"""

from __future__ import annotations

from collections.abc import Mapping

_Said = Mapping[str, str]


def _said(one: Mapping[str, str], several: Mapping[str, str] | None = None) -> _Said:
    found = {said: word for word, listed in one.items() for said in listed.split()}
    return found | {said: sentence for listed, sentence in (several or {}).items() for said in listed.split()}


PURPOSE = _said({
    "splice": "join joint joined connection pigtail",
    "tap": "branch branch-off tee t-tap",
    "cap": "end dead-end end-off terminate terminated abandoned spare",
})  # fmt: skip
MATERIAL = _said(
    {
        "copper": "cu",
        "aluminum": "al alu",
        "copper-clad-aluminum": "cca copper-clad clad",
    },
    {"tinned tin tinned-copper plated": "copper, and tinned at finish"},
)
CONSTRUCTION = _said({
    "solid": "single single-strand one-strand rigid",
    "stranded": "strand strands multi-strand class-b class-c",
    "fine-stranded": "fine finely-stranded flexible flex class-k class-m",
})  # fmt: skip
FINISH = _said(
    {"plain": "untinned uncoated unplated none", "tinned": "tin plated coated"},
    {"bare": "plain for metal that is not plated; what has no insulation is bare at insulation"},
)
END = _said(
    {
        "plain": "bare stripped cut untreated unferruled",
        "bonded": "welded fused",
        "solder-dipped": "soldered dipped",
    },
    {"tinned": "solder-dipped for an end dipped in solder, plain for plated strands, which are tinned at finish"},
)
CONDITION = _said(
    {
        "sound": "ok good clean fine undamaged unharmed uncorroded unpainted unburnt unnicked new",
        "nicked": "nick cut scored scratched",
        "burnt": "burned overheated charred melted scorched brittle discolored discoloured",
        "painted": "paint overpainted",
        "corroded": "oxidized oxidised rusty rusted eaten tarnished",
    },
    {"unsound damaged bad poor worn": "nicked, burnt, painted or corroded, whichever it is"},
)
CABLE = _said(
    {
        "none": "single singles loose conductors wire wires no",
        "NM": "nonmetallic nonmetallic-sheathed",
        "UF": "underground underground-feeder",
        "MC": "metal-clad",
        "AC": "armored-cable",
        "cord": "flexible-cord flexible-cable",
        "pump-cable": "pump submersible",
    },
    {"metallic armored armoured": "AC for armored cable, MC for metal-clad cable"},
)
_GROUND = (
    "equipment-grounding for the green or bare one, grounding-electrode for the one to the rod; grounded is the neutral"
)
ROLE = _said(
    {
        "ungrounded": "hot live line phase load switched switch-leg switch-loop traveler traveller",
        "grounded": "neutral",
        "equipment-grounding": "egc green bare equipment-ground protective-earth pe",
        "isolated-grounding": "ig isolated-ground",
        "grounding-electrode": "gec ground-rod rod electrode",
        "control": "signal data",
    },
    {
        "ground grounding earth earthing": _GROUND,
        "white common": "grounded for the neutral, ungrounded for a switch leg or the common of a switch",
        "black red": "ungrounded for a hot conductor, whatever its colour",
    },
)
PATH = _said({
    "ends": "end ending cut terminated",
    "through": "pass-through passing passes uncut unbroken looped loop",
})  # fmt: skip
PREMISES = _said(
    {"marina": "dock pier boathouse boatyard", "agricultural": "farm barn stable"},
    {"house home dwelling": "general, and yes at dwelling"},
)
_SITE_ELSEWHERE = "and outdoors or indoors at site"
EXPOSURE = _said(
    {
        "damp": "moist humid",
        "buried": "underground in-ground ground in-the-ground earth direct-burial",
        "submerged": "underwater under-water immersed flooded",
    },
    {
        "outdoors outdoor outside": f"damp where it is sheltered, wet in the weather, {_SITE_ELSEWHERE}",
        "indoors indoor inside": f"dry, damp or wet, {_SITE_ELSEWHERE}",
        "rain rainy weather": "wet where it stands in the weather, damp where it is sheltered",
    },
)
SITE = _said({
    "indoors": "inside interior in-house",
    "outdoors": "outside exterior out-of-doors open-air",
})  # fmt: skip
ENCLOSURE = _said(
    {
        "box": "junction-box outlet-box device-box switch-box ceiling-box j-box jbox",
        "panelboard": "panel breaker-panel load-center loadcenter subpanel",
        "cabinet": "cutout-box",
        "wireway": "gutter trough",
        "equipment": "appliance machine",
        "luminaire": "fixture light lamp light-fixture canopy",
        "handhole": "ground-box in-ground-box",
        "cable-tray": "tray ladder",
        "none": "no no-box no-enclosure without-box unboxed unenclosed open free free-air",
    },
    {
        "conduit tubing emt pipe tube": "raceway for the inside of the conduit, conduit-body for its fitting with a "
        "cover, box for a box on it",
        "elbow": "short-radius-body for a capped elbow, conduit-body for one marked with its volume",
    },
)
BOX_MATERIAL = _said({
    "metal": "metallic steel iron aluminum brass",
    "nonmetallic": "plastic pvc fiberglass fibreglass phenolic polycarbonate",
})  # fmt: skip
REACH = _said({
    "accessible": "reachable exposed open visible unconcealed uncovered",
    "concealed": "inaccessible unreachable out-of-reach hidden covered closed-in walled-in enclosed",
})  # fmt: skip
MOVEMENT = _said(
    {
        "still": "stationary fixed static unmoving immobile immovable none",
        "vibrating": "vibration vibrates shaking",
        "flexing": "flexed flexes flexible bending bent",
    },
    {"moving movable mobile": "vibrating where it shakes, flexing where it is bent in use"},
)
CORROSION = _said({
    "salt-air": "salt sea marine coastal seawater saltwater salt-water",
    "chemical": "acid fumes",
    "fertilizer": "manure",
    "swimming-pool": "pool chlorine spa hot-tub",
})  # fmt: skip
COVER = _said(
    {
        "general": "lawn garden yard grass none",
        "under-building": "building house",
        "street-or-parking-lot": "street road alley parking-lot parking",
        "airport-runway": "runway runways airport",
    },
    {
        "driveway drive": "dwelling-driveway for that of a one- or two-family dwelling, else street-or-parking-lot",
        "slab concrete": "under-4in-slab for an outdoor slab without vehicles, trench-2in-concrete for a trench",
    },
)
WIRING = _said(
    {
        "direct": "buried direct-buried direct-burial cable uf",
        "rigid-conduit": "rmc imc rigid metal-conduit",
        "emt": "tubing metallic-tubing thinwall",
        "pvc-raceway": "pvc plastic nonmetallic",
    },
    {
        "conduit raceway pipe": "rigid-conduit for rigid or intermediate metal conduit, emt for metallic tubing, "
        "pvc-raceway for nonmetallic raceway",
        "metallic metal": "rigid-conduit for rigid or intermediate metal conduit, emt for metallic tubing",
    },
)
_KIND_AND_SERVES = "branch or feeder, and what it feeds at serves"
KIND = _said(
    {
        "branch": "branch-circuit general power receptacle receptacles outlet outlets",
        "feeder": "subfeed sub-feed submain",
        "service": "utility service-entrance service-drop",
        "luminaire": "fixture",
        "low-voltage-landscape": "landscape garden garden-lighting landscape-lighting",
        "irrigation": "sprinkler sprinklers",
        "communications": "data telephone phone network coax",
        "patient-care": "hospital medical health-care healthcare",
    },
    {
        "lighting light lights": "luminaire for wiring of a luminaire, branch for a circuit that feeds lighting",
        "low-voltage": "low-voltage-landscape, irrigation, control, class-2 or communications, whichever it is",
        "alarm": "fire-alarm for a fire alarm, class-2 for another alarm whose supply is marked so",
        "motor heating heater pump": _KIND_AND_SERVES,
    },
)
CURRENT = _said({"ac": "alternating", "dc": "direct direct-current"})
SERVES = _said({
    "general": "receptacle receptacles outlet outlets power mixed",
    "motor": "compressor fan blower machine",
    "lighting": "light lights lamp lamps luminaire luminaires fixture",
    "heating": "heat heater baseboard",
    "pump": "well sump",
    "underwater-lighting": "pool-light pool-lighting fountain-lighting underwater",
})  # fmt: skip
REOPENED = _said({
    "never": "no not permanent sealed",
    "rarely": "seldom sometimes occasionally repair",
    "often": "frequently regularly yearly yes",
})  # fmt: skip
WIRING_AGE = _said(
    {
        "new": "modern",
        "aluminum-branch": "aluminum aluminium old-aluminum",
        "knob-and-tube": "knob-tube k&t",
    },
    {"old existing": "aluminum-branch, knob-and-tube or other-existing, whichever it is"},
)
METHODS = _said(
    {
        "push-in": "stab-in poke-in stab",
        "split-bolt": "bolt",
        "insulation-displacement": "idc",
        "terminal-block": "terminal-strip terminals",
        "exothermic": "weld welded thermite",
        "shrink-splice": "heat-shrink shrink shrink-tube",
        "direct-burial-splice": "direct-burial burial-splice",
    },
    {"crimp crimped": "closed-end-crimp, butt-crimp or, for grounding conductors alone, ground-crimp"},
)
