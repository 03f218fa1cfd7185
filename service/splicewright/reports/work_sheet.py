"""A work sheet as one HTML file: no script, nothing from elsewhere, and all that came from outside as text.

Where it is printed at 100 percent its bars are as long as what is to be stripped.
"""

from __future__ import annotations

import base64
import functools
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from splicewright.answering.finding_json import ALWAYS
from splicewright.drawing import WIDE_MM, Drawing, control_line, joint_drawing, room_bar, strip_bar
from splicewright.job.shelf_figures import shelf_in_all
from splicewright.json_pointer import pointer_words
from splicewright.refusals import clean
from splicewright.reports.sheet_words import SheetWords, Told
from splicewright.reports.words import TOOLS, both_units, feet, sent_otherwise, size_text, value_text, within_a_sentence
from splicewright.reports.work_sheet_pages import Known, Made, SheetJoint, SheetPage
from splicewright.reports.work_sheet_sources import Bought, Source
from splicewright.rulebook.concerns import concerns_that_hurt

Plain = Mapping[str, Any]
NOT_REVIEWED = "This sheet was translated by no licensed electrician and reviewed by none who speaks Spanish."
_HERE = Path(__file__).parent
_BOXES_TOLD = 3
_OUTCOMES = {
    "barred": "Barred: this joint may not be made as posed.",
    "refer": "Outside this tool: do not make it by this sheet.",
    "no-connector": "No connector of the catalogue takes it.",
    "error": "In error: it could not be read.",
    "split": "Divided into joints that can be made; ask each of them alone for its steps.",
}
#: What a line of the takeoff tells in figures, and what each is called.
FIGURES = {"count": "Needed", "spares": "Spares", "pack": "Per pack", "packs": "Packs", "to_buy": "To buy"}
PRICES = {"price": "Price", "cost": "Cost"}
_DEPARTS = "Made otherwise than is proposed for it ({proposed})."
_PROPOSED = "Against the splice that is proposed for it:"


def work_sheet(source: Source, words: SheetWords, *, prices: bool = False) -> bytes:
    """Write the sheets of an answer: its pages, then the takeoff; `prices`: what it costs, too."""
    style = (_HERE / "work_sheet.css").read_text(encoding="utf-8")
    text = _template().render(
        source=source,
        language=words.language,
        say=words.say,
        not_reviewed=words.standing(NOT_REVIEWED) if words.language != "en" else None,
        style=Markup(style),  # noqa: S704 - our own
        style_hash=base64.b64encode(hashlib.sha256(style.encode()).digest()).decode(),
        pages=[_page(page, words) for page in source.pages],
        departures=[
            f"{joint.name} ({joint.departs_from})"
            for page in source.pages
            for joint in page.joints
            if joint.departs_from
        ],
        takeoff=[_line(one) for one in source.takeoff],
        wire=[_wire(tail, words) for tail in source.wire],
        demo=bool(source.catalogue.get("demo")),
        prices=prices,
        figures=[*FIGURES.items(), *(PRICES.items() if prices else ())],
        in_all=_in_all(source.takeoff),
    )
    return text.lstrip().encode("utf-8", "backslashreplace")


@functools.cache
def _template() -> jinja2.Template:
    environment = jinja2.Environment(
        autoescape=True,
        finalize=_plain,
        loader=jinja2.FileSystemLoader(_HERE),
        lstrip_blocks=True,
        trim_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    return environment.get_template("work_sheet.html")


def _plain(value: Any) -> Any:
    """Let no character through that a reader would act on without seeing it."""
    return clean(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _drawn(drawing: Drawing) -> Plain:
    return {"svg": Markup(drawing.svg), "text": drawing.text, "wide": drawing.width > WIDE_MM}  # noqa: S704 - made as XML, what came from outside as text


# --- pages -----------------------------------------------------------------------------------


def _page(page: SheetPage, words: SheetWords) -> Plain:
    joints = _alike(_joint(joint, words) for joint in page.joints)
    title = page.name or words.say("Joints outside boxes")
    return {
        "title": title if page.box is None else words.say("Box {name}", name=title),
        "quantity": page.quantity,
        "standing": words.standing(ALWAYS),
        "always": [_known(one, words) for one in page.always],
        "errors": page.errors,
        "box": None if page.box is None else _box(page.box, words),
        "joints": joints,
        "wide": any(bar["wide"] for joint in joints for made in joint["made"] for bar in made["strips"]),
        "control": _drawn(control_line(words.say)) if any(joint.made for joint in page.joints) else None,
        "cautions": [_known(one, words) for one in page.cautions],
        "judged": [told for told in (_not_judged(page, words, hurts=hurts) for hurts in (True, False)) if told],
        "assumed": [{"told": _assumed(one, words), "joints": one.joints} for one in page.assumed],
        "taken_for": [_known(one, words) for one in page.taken_for],
        "read_as": "; ".join(_read_as(page, words)),
        "phases": list(_phases(page, words)),
    }


def _known(one: Known, words: SheetWords) -> Plain:
    rule, says = one.told
    return {"told": words.sentence(rule, says), "joints": one.joints}


def _not_judged(page: SheetPage, words: SheetWords, *, hurts: bool) -> Plain | None:
    """Word what was not judged, of what can hurt or of the rest, with the English where that is another."""
    those = concerns_that_hurt()
    found = [one for one in page.judged if (one.told[0] in those) is hurts]
    told = "; ".join(_asked(one, words) for one in found)
    english = "; ".join(_asked(one, SheetWords()) for one in found)
    return {"told": Told(told, f"Not judged: {english}" if english != told else ""), "hurts": hurts} if found else None


def _asked(one: Known, words: SheetWords) -> str:
    concern, pointer = one.told
    of = f" [{'; '.join(one.joints)}]" if one.joints else ""
    state = ""
    if pointer is not None:
        written = pointer_words(pointer)
        state = f" ({words.say('state {words}', words=words.standing(written).text or written)})"
    return f"{within_a_sentence(words.asks(concern))}{state}{of}"


def _assumed(one: Known, words: SheetWords) -> str:
    return ", ".join(default.told(words.say) for default in one.told)


def _read_as(page: SheetPage, words: SheetWords) -> Iterator[str]:
    """Tell once what was taken for another way to write what is meant."""
    for sent, taken in sent_otherwise(page.read_as):
        meant = ", ".join(map(words.say, taken.split(", ")))  # one word, or several
        yield words.say("{sent} as {taken}", sent=f"“{sent}”", taken=meant)


def _phases(page: SheetPage, words: SheetWords) -> Iterator[Plain]:
    for phase, steps in groupby(page.steps, key=lambda one: one.step["phase"]):
        told = [
            {
                "told": words.sentence(one.step["rule"], one.step["do"]),
                "value": _value(one.step, words),
                "joints": one.joints,
            }
            for one in steps
        ]
        name = words.say(phase).replace("-", " ")
        yield {"name": name[:1].upper() + name[1:], "steps": told}


def _value(step: Plain, words: SheetWords) -> str:
    """Word the figure of a step, of each kind of conductor where they differ in it."""
    if each := step.get("by_conductor"):
        return "; ".join(_of_conductor(one, words) for one in each)
    return _length_or_other(step["value"]) if "value" in step else ""


def _length_or_other(value: Plain) -> str:
    return both_units(value) if value["unit"] in ("mm", "in", "cm") else value_text(value)


def _of_conductor(one: Plain, words: SheetWords) -> str:
    of = f"{size_text(one['size'])} {words.say(one['material'])}"
    return f"{_length_or_other(one['value']) if 'value' in one else words.say('none listed')} ({of})"


def _box(box: Plain, words: SheetWords) -> Plain:
    short = box["fits"] is False or box["volume"] is None
    length = box.get("free_length")
    return {
        "short": box["fits"] is False,
        "room": _drawn(room_bar(box, words.say)),
        "would_do": [f"{one['name']} ({one['volume']['in3']:g} in3)" for one in box["smallest"][:_BOXES_TOLD]]
        if short
        else [],
        "notes": [
            *(words.standing(one["says"]) for one in (*([length] if length else ()), *box["referrals"])),
            *(_placed(one, words) for one in box["problems"]),
            *(words.standing(one["says"]) for one in box["cautions"]),
        ],
    }


def _placed(problem: Plain, words: SheetWords) -> Told:
    """Tell a problem with the place of what was sent that it is of, as people write it."""
    told = words.standing(problem["says"])
    place = f"{pointer_words(problem['pointer'])}: " if problem["pointer"] else ""
    return Told(*(f"{place}{text}" if text else "" for text in told))


def _alike(joints: Iterable[Plain]) -> list[Plain]:
    """Put joints that are made alike together, each with its name and how many there are of it."""
    found: list[dict[str, Any]] = []
    for joint in joints:
        named = {"name": joint["name"], "quantity": joint["quantity"]}
        rest = {key: value for key, value in joint.items() if key not in named}
        same = next((one for one in found if one["rest"] == rest and joint["made"]), None)
        if same is None:
            found.append({"rest": rest, "named": [named]})
        else:
            same["named"].append(named)
    return [{**one["rest"], "named": one["named"]} for one in found]


def _joint(joint: SheetJoint, words: SheetWords) -> Plain:
    made = [_made(one, joint, words, several=len(joint.made) > 1) for one in joint.made]
    told = _OUTCOMES.get(joint.outcome, _PROPOSED if joint.because else "")
    alone = not made and joint.conductors
    return {
        "name": joint.name,
        "quantity": joint.quantity,
        "outcome": joint.outcome,
        "outcome_told": words.say(told) if told else "",
        "because": [words.sentence(rule, says) for rule, says in joint.because],
        "departs": words.say(_DEPARTS, proposed=joint.departs_from) if joint.departs_from else "",
        "parts": joint.parts,
        "drawing": _drawn(joint_drawing(joint.conductors, None, words.say, most=1)) if alone else None,
        "made": made,
    }


def _made(one: Made, joint: SheetJoint, words: SheetWords, *, several: bool) -> Plain:
    option = one.option
    tool = str(option.get("tool", ""))
    return {
        "name": option["name"],
        "count": one.count,
        "shown_count": several,
        "method": words.say(option["method"]),
        "fill": words.say("listed for this mix" if option["fill"]["basis"] == "listed" else "a reading, not a listing"),
        "drawing": _drawn(joint_drawing(joint.conductors, one.listing, words.say, most=1)),
        "strips": [
            _drawn(strip_bar(length, named, words.say, with_control=False)) for length, named in _strips(option, words)
        ],
        "torques": list(_torques(option, words)),
        "tool": words.say(TOOLS.get(tool, tool)) if tool else "",
    }


def _strips(option: Plain, words: SheetWords) -> Iterator[tuple[Plain, str]]:
    each = [one for one in option.get("by_conductor", ()) if one["figure"] == "strip" and "value" in one]
    for one in each:
        yield one["value"], _of_conductor(one, words)
    if not each and "strip" in option:
        yield option["strip"], both_units(option["strip"])


def _torques(option: Plain, words: SheetWords) -> Iterator[str]:
    each = [one for one in option.get("by_conductor", ()) if one["figure"] == "torque"]
    yield from (_of_conductor(one, words) for one in each)
    if not each and "torque" in option:
        yield value_text(option["torque"])


# --- takeoff ---------------------------------------------------------------------------------


def _line(one: Bought) -> Plain:
    line, own = one.line, one.line["shelf"]
    return {
        "name": line["name"],
        "connector": line["connector"] if one.catalogue is None else f"{line['connector']} ({one.catalogue})",
        "part_number": one.part_number or "—",
        "count": line["count"],
        "spares": line["spare_count"],
        "pack": own.get("per_pack", "—"),
        "packs": own.get("pack_count", "—"),
        "to_buy": own["to_buy_count"],
        **{what: f"{own[what]:.2f}" if what in own else "—" for what in ("price", "cost")},
    }


def _in_all(takeoff: Sequence[Bought]) -> str:
    in_all = shelf_in_all([one.line for one in takeoff])
    unknown = len(in_all["without_cost"])
    return f"{in_all.get('cost', 0):.2f}{f'; {unknown} ?' if unknown else ''}"


def _wire(tail: Plain, words: SheetWords) -> Plain:
    return {
        "kind": words.say(tail["kind"]),
        "wire": f"{size_text(tail['size'])} {words.say(tail['material'])}",
        "role": words.say(tail["role"]),
        "color": words.say(tail["color"]) if "color" in tail else "",
        "count": tail["count"],
        "each": _feet(tail["length"]),
        "total": _feet(tail["total"]),
    }


def _feet(length: Plain) -> str:
    told = feet(length)
    return told if isinstance(told, str) else f"{told:.10g}"
