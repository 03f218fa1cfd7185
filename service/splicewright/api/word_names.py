"""The name under which each closed list of words stands in the API's document, as a schema of its own."""

from __future__ import annotations

import functools
from collections.abc import Collection

from splicewright.api.shapes.errors import CODES as ERROR_CODES
from splicewright.api.shapes.quantities import SIZE_UNITS
from splicewright.api.shapes.remedies import OPERATIONS
from splicewright.api.shapes.takeoff import PLANS_BESIDE
from splicewright.api.shapes.vocabulary import KINDS, REPEATED, ROUNDED
from splicewright.box.schema import CLAMPS, VOLUME_UNITS
from splicewright.box.schema import PATHS as WIRE_PATHS
from splicewright.catalogue.schema import FIGURES, LISTED
from splicewright.job.schema import AIMS
from splicewright.question import answer_vocabulary as told
from splicewright.question import vocabulary as v
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.rule_json import SOURCES
from splicewright.tables.boxes import standard_boxes
from splicewright.tables.conductors import insulation_types

_NAMES: dict[str, Collection[str]] = {
    "Code": v.CODES,
    "Explain": told.EXPLAIN,
    "AmendedHow": told.AMENDED,
    "ConnectorStanding": told.STANDING,
    "StackChangeKind": told.CHANGED,
    "SaidPoint": told.SAID_POINT,
    "Purpose": v.PURPOSE,
    "Material": v.MATERIAL,
    "Construction": v.CONSTRUCTION,
    "Finish": v.FINISH,
    "End": v.END,
    "Condition": v.CONDITION,
    "Cable": v.CABLE,
    "Role": v.ROLE,
    "Path": v.PATH,
    "Premises": v.PREMISES,
    "Exposure": v.EXPOSURE,
    "AirSpace": v.AIR_SPACE,
    "Site": v.SITE,
    "Enclosure": v.ENCLOSURE,
    "BoxMaterial": v.BOX_MATERIAL,
    "Reach": v.REACH,
    "Movement": v.MOVEMENT,
    "Corrosion": v.CORROSION,
    "Cover": v.COVER,
    "Wiring": v.WIRING,
    "CircuitKind": v.KIND,
    "Serves": v.SERVES,
    "CircuitSource": v.SOURCE,
    "Current": v.CURRENT,
    "OvercurrentDevice": v.OVERCURRENT_DEVICE,
    "Reopened": v.REOPENED,
    "WiringAge": v.WIRING_AGE,
    "Method": v.METHODS,
    "Sign": v.SIGNS,
    "Phase": v.PHASES,
    "LengthUnit": v.LENGTH_UNITS,
    "TemperatureUnit": v.TEMPERATURE_UNITS,
    "StripUnit": v.STRIP_UNITS,
    "TorqueUnit": v.TORQUE_UNITS,
    "VolumeUnit": VOLUME_UNITS,
    "WirePath": WIRE_PATHS,
    "Clamps": CLAMPS,
    "Aim": AIMS,
    "Include": told.INCLUDE,
    "JobInclude": told.JOB_INCLUDE,
    "PatchOp": OPERATIONS,
    "SizeUnit": SIZE_UNITS,
    "PlanBeside": PLANS_BESIDE,
    "Outcome": told.OUTCOME,
    "Verdict": told.VERDICT,
    "Basis": told.BASIS,
    "CautionKind": told.CAUTION,
    "WhyNotJudged": told.WHY,
    "AssumedFrom": told.ASSUMED_FROM,
    "Obtained": told.OBTAINED,
    "Effect": told.EFFECT,
    "TailKind": told.TAILS,
    "Improves": told.IMPROVES,
    "SizedBy": told.SIZED_BY,
    "SourceKind": SOURCES,
    "MakeUpFigure": v.MAKE_UP_FIGURES,
    "FigureOfListing": FIGURES,
    "ListedAttribute": LISTED,
    "ErrorCode": ERROR_CODES,
    "FormKind": KINDS,
    "FormRepeated": REPEATED,
    "FormRounded": ROUNDED,
}


def name_of(words: Collection[str]) -> str | None:
    """Give the name of a list of words; None where it has none."""
    return _by_identity().get(id(words))


@functools.cache
def _by_identity() -> dict[int, str]:
    named = {**_NAMES, "Insulation": insulation_types(), "StandardBox": standard_boxes()}
    named |= {f"Listed{name.title().replace('_', '')}": kind.words for name, kind in ATTRIBUTES.items() if kind.words}
    return {id(words): name for name, words in reversed(named.items())}
