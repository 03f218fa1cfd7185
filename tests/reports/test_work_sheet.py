"""Work sheets read back: what is on them, that nothing from outside is more than text, that nothing is hidden."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from splicewright import plan_job, reports, shipped
from splicewright.answering import Chooser
from splicewright.box.answer import fill_with_joints
from splicewright.job.read_again import read_again
from splicewright.job.shelf_figures import catalogue_used
from splicewright.question.read import read_question
from splicewright.reports.answer import made_with
from splicewright.reports.page import page as screen
from splicewright.reports.parts import assumed_that_matter
from splicewright.reports.sheet_words import SheetWords
from splicewright.reports.words import feet
from splicewright.reports.work_sheet import work_sheet
from splicewright.reports.work_sheet_pages import INCLUDED
from splicewright.reports.work_sheet_sources import Source, of_box, of_job, of_question
from splicewright.yaml_text import read_yaml

EXAMPLES = shipped.folder("openapi") / "examples"
HOSTILE = '"><script>alert(1)</script><style>*{}</style>\u202e\x07&amp;'
THREE = {"size": "12 AWG", "count": 3}
JOINT = {"conductors": [THREE]}


@pytest.fixture(scope="module")
def chooser() -> Chooser:
    return Chooser()


def example(name: str) -> Any:
    return read_yaml((EXAMPLES / f"boathouse-{name}.yaml").read_bytes()).value


def job_source(job: Any, chooser: Chooser) -> Source:
    answer = plan_job(job, chooser)
    return of_job("file", answer, read_again(job, chooser), catalogue_used(answer, job, chooser)[1])


def of(job: Any, chooser: Chooser, *, prices: bool = False) -> str:
    return work_sheet(job_source(job, chooser), SheetWords(), prices=prices).decode()


def box_sheet(box: Any, chooser: Chooser) -> str:
    return work_sheet(box_source(box, chooser), SheetWords()).decode()


def question_sheet(question: Any, chooser: Chooser) -> str:
    return work_sheet(of_question("file", read_question(question), chooser), SheetWords()).decode()


def own_catalogue(connector: str, name: str = "Own lever") -> dict[str, Any]:
    listing = {
        "id": connector, "name": name, "method": "lever", "part_number": "AB-1", "pack": 50,
        "takes": [{"materials": ["copper"], "constructions": ["solid"], "combinations": [{"12 AWG": 3}]}],
        "places": ["dry"], "volts": "600 V", "degrees": "105 degC", "insulated": True, "grounding": "also",
        "tool": "none", "strip": "11 mm",
    }  # fmt: skip
    return {"catalogue": "mine", "note": "own", "unstated": "no", "connectors": [listing]}


def box_source(box: Any, chooser: Chooser) -> Source:
    told = {"wires": [{"size": "12 AWG", "count": 6}], **box}
    asking, asked = chooser.with_own_catalogue({**told, "explain": "brief", "include": sorted(INCLUDED)})
    answer, decided = fill_with_joints(asked, asking)
    return of_box("file", answer, decided, asking)


@pytest.fixture(scope="module")
def job_sheet(chooser: Chooser) -> str:
    return of(example("job"), chooser)


def cells(sheet: str) -> str:
    """Give a sheet without what a telephone shows before each cell."""
    return re.sub(r' data-of="[^"]*"', "", sheet)


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in ("meta", "input", "br"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: Any) -> None:
        self.seen.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def tags(sheet: str) -> list[tuple[str, dict[str, str | None]]]:
    parser = Tags()
    parser.feed(sheet)
    assert parser.open == []
    return parser.seen


def test_each_box_has_a_page_and_joints_outside_boxes_one(job_sheet: str) -> None:
    headings = re.findall(r"<h1>(.*?)</h1>", job_sheet)
    assert headings == [
        "Joints outside boxes",
        "Box above-the-slip \u00d7 4",
        "Box jetty-switch \u00d7 2",
        "Takeoff for the supply house",
    ]


def test_strip_bars_are_those_of_the_connectors_that_the_plan_takes(job_sheet: str) -> None:
    named = [re.findall(r"<span>(.*?)</span>", heading) for heading in re.findall(r"<h3>(<label>.*)</h3>", job_sheet)]
    assert sum(map(len, named)) == 14 + 3 + 1
    assert job_sheet.count('class="strip-bar"') == len(named) == 16
    assert "Strip 7/16 in (11 mm)" in job_sheet


def test_joints_that_are_made_alike_stand_together_each_with_its_box_to_tick(chooser: Chooser) -> None:
    alike = [
        {"id": "hots", "joint": JOINT},
        {"id": "neutrals", "joint": {"conductors": [{**THREE, "role": "grounded"}]}},
    ]
    sheet = box_sheet({"joints": [*alike, {"id": "two", "joint": {"conductors": [{**THREE, "count": 2}]}}]}, chooser)
    together, alone = re.findall(r"<h3>(<label>.*)</h3>", sheet)
    ticked = '<label><input type="checkbox"> <span>{}</span></label>'
    assert together == ticked.format("hots") + ticked.format("neutrals") + (
        ' <span class="small">(each made on its own)</span>'
    )
    assert alone == ticked.format("two")
    assert sheet.count('class="control-line"') == 1


def test_joint_that_is_not_made_tells_why_and_has_no_steps(chooser: Chooser) -> None:
    bad = {"conductors": [{"size": "12 AWG"}, {"size": "12 AWG", "role": "grounded"}]}
    sheet = of({"joints": [{"id": "bad", "joint": bad}]}, chooser)
    assert "Barred: this joint may not be made as posed." in sheet
    assert "are a short circuit" in sheet
    assert "Steps, in their order" not in sheet


def test_joint_and_box_in_error_are_told(chooser: Chooser) -> None:
    job = {"joints": [{"joint": {"conductors": [{"size": "12"}]}}], "boxes": [{"wires": []}]}
    sheet = of(job, chooser)
    assert "In error: it could not be read." in sheet
    assert sheet.count("In error") == 2
    assert "has no unit" in sheet


def test_joint_that_is_divided_tells_its_parts(chooser: Chooser) -> None:
    many = {"conductors": [{"size": "12 AWG", "count": 20}]}
    sheet = of({"split_overfilled": True, "joints": [{"joint": many}]}, chooser)
    assert "Divided into joints" in sheet
    assert re.search(r"<p>[0-9]+ x 12 AWG: ", sheet)


def test_splice_that_is_proposed_and_unsound_is_told(chooser: Chooser) -> None:
    proposal = {"connector": "twist-on-miniature", "strip": {"value": 9, "unit": "mm"}}
    sheet = of({"joints": [{"joint": JOINT, "proposal": proposal}]}, chooser)
    assert "Against the splice that is proposed for it:" in sheet


def test_box_that_is_too_small_says_so_first(chooser: Chooser) -> None:
    small = {"box": {"volume": {"value": 9, "unit": "in3"}}, "wires": [{"size": "12 AWG", "count": 6}]}
    sheet = box_sheet(small, chooser)
    assert "This box is too small" in sheet
    assert "Boxes that would do: " in sheet


def test_room_that_the_box_settles_is_not_told_as_not_judged(chooser: Chooser) -> None:
    told = "whether the enclosure has room for all that is in it"
    assert told not in box_sheet(example("box"), chooser)
    assert f"{told} (state place.room)" in question_sheet({"joint": JOINT}, chooser)


def test_what_was_read_in_other_words_is_told_once(chooser: Chooser) -> None:
    conductors = {"conductors": [{"size": "#12", "count": 3, "role": "hot"}]}
    told = "Read: “#12” as 12 AWG; “hot” as ungrounded</p>"
    assert told in question_sheet({"joint": conductors}, chooser)
    assert told in box_sheet({"joints": [{"joint": conductors}, {"joint": conductors}]}, chooser)
    assert "Read: " not in question_sheet({"joint": JOINT}, chooser)
    job = {
        "defaults": {"place": {"exposure": "moist"}},
        "joints": [{"id": "a", "joint": conductors}],
        "boxes": [{"id": "b", "wires": [{"size": "#10", "count": 2}], "box": {"name": "4 x 1-1/2 square"}}],
    }
    outside, box = re.findall(r"Read: (.*)</p>", of(job, chooser))
    assert outside == "“moist” as damp; “#12” as 12 AWG; “hot” as ungrounded"
    assert box == "“moist” as damp; “#10” as 10 AWG"


def test_what_a_place_is_taken_for_is_told(chooser: Chooser) -> None:
    assert "Taken for: Out of doors no place stays dry" in question_sheet(
        {"joint": JOINT, "place": {"site": "outdoors"}}, chooser
    )
    assert "Taken for" not in question_sheet({"joint": JOINT}, chooser)


def test_what_was_not_judged_stands_once_and_what_can_hurt_first(chooser: Chooser) -> None:
    sheet = box_sheet({"joints": [{"id": "a", "joint": JOINT}, {"id": "b", "joint": JOINT}]}, chooser)
    hurts, rest = re.findall(r"<li( class=\"strong\")?>Not judged: (.*)</li>", sheet)
    assert hurts[0]
    assert not rest[0]
    assert "whether the breaker or fuse protects the conductors (state circuit.overcurrent_amps)" in hurts[1]
    assert "[" not in hurts[1]
    assert "whether conductors and connector carry the load (state circuit.amps)" in rest[1]
    both = {"joints": [{"id": "a", "joint": JOINT}, {"id": "b", "joint": JOINT, "circuit": {"overcurrent_amps": 20}}]}
    assert "protects the conductors (state circuit.overcurrent_amps) [a]" in box_sheet(both, chooser)


def test_problems_of_a_box_say_where_they_are(chooser: Chooser) -> None:
    short = {"wires": [{"size": "12 AWG", "count": 2, "free": {"value": 3, "unit": "in"}}]}
    assert "<p>wires[1].free: is 3 in, shorter than the 6 in" in box_sheet(short, chooser)


def test_default_that_matters_is_told_as_an_answer_tells_it(chooser: Chooser) -> None:
    values = {
        "/circuit/neutral_carries": False,
        "/place/corrosion": [],
        "/place/exposure": "dry",
        "/place/ambient": {"value": 30, "unit": "degC"},
    }
    assumed = {at: {"from": "default", "value": value} for at, value in values.items()}
    assumed["/circuit/volts"] = {"from": "project", "value": "120 V"}
    source = of_question("file", read_question({"joint": JOINT}), chooser)
    page = source.pages[0]
    joint = replace(page.joints[0], assumed=assumed)
    sheet = work_sheet(source._replace(pages=[replace(page, joints=[joint])]), SheetWords()).decode()
    told = "neutral carries no, dry, ambient 30 degC"
    assert f"Assumed, because not stated: {told}</p>" in sheet
    assert assumed_that_matter({"assumed": assumed}) == [told]


@pytest.mark.parametrize(
    ("tool", "printed", "on_the_sheet"),
    [
        ("none", "closed by hand", "closed by hand"),
        ("matched", "tool: the one its instructions name", "the one its instructions name"),
        ("wrench", "tool: wrench", "wrench"),
    ],
)
def test_tool_is_told_as_an_answer_tells_it(
    chooser: Chooser, capsys: pytest.CaptureFixture[str], tool: str, printed: str, on_the_sheet: str
) -> None:
    source = of_question("file", read_question({"joint": JOINT}), chooser)
    page = source.pages[0]
    (made,) = page.joints[0].made
    made = replace(made, option={**made.option, "tool": tool})
    joint = replace(page.joints[0], made=[made])
    sheet = work_sheet(source._replace(pages=[replace(page, joints=[joint])]), SheetWords()).decode()
    assert f"). Tool: {on_the_sheet}" in sheet
    with screen() as out:
        made_with(out, {"tool": tool})
    assert capsys.readouterr().out.split(None, 2) == ["Make", "it", f"{printed}\n"]


def test_step_of_some_joints_only_names_them(chooser: Chooser) -> None:
    sheet = box_sheet(example("box"), chooser)
    assert re.search(r"Push each conductor straight.*\[hot; neutral\]", sheet)
    assert re.search(r"disconnect\.</span>", sheet)


def test_torque_is_told_for_each_conductor_that_differs(chooser: Chooser) -> None:
    large = {"conductors": [{"size": "2 AWG"}, {"size": "8 AWG"}]}
    sheet = question_sheet({"joint": large, "only": {"methods": ["set-screw"]}}, chooser)
    assert re.search(r"Torque: <b>[0-9]+ lbf-in", sheet)


def test_usual_cautions_stand_once_on_each_page(job_sheet: str) -> None:
    pages = job_sheet.split('<section class="sheet')[1:-1]
    assert [page.count("De-energize, lock out, test dead.") for page in pages] == [1, 1, 1]
    assert [page.count("A licensed electrician decides and answers") for page in pages] == [1, 1, 1]


def test_invented_connectors_are_marked_on_every_page(job_sheet: str) -> None:
    assert job_sheet.count("these connectors are invented") == 4


def test_prices_are_told_only_where_they_are_asked_for(job_sheet: str, chooser: Chooser) -> None:
    assert "Cost" not in job_sheet
    priced = of(example("job"), chooser, prices=True)
    assert '<td class="number">283.10</td>' in cells(priced)


def test_wire_is_told_in_feet(job_sheet: str) -> None:
    assert "Feet in all" in job_sheet
    assert '<td class="number">58</td><td class="number">0.5</td><td class="number">29</td>' in cells(job_sheet)


def test_feet_are_rounded_as_they_are_in_the_tables_of_a_job(chooser: Chooser) -> None:
    source = job_source(example("job"), chooser)
    wire = {**source.wire[0], "count": 5, "length": {"value": 7, "unit": "in"}, "total": {"value": 35, "unit": "in"}}
    wanted = '<td class="number">5</td><td class="number">0.583</td><td class="number">2.917</td>'
    assert wanted in cells(work_sheet(source._replace(wire=[wire]), SheetWords()).decode())
    assert (feet(wire["length"]), feet(wire["total"])) == (0.583, 2.917)
    assert feet({"value": 200, "unit": "mm"}) == "200 mm"


def test_takeoff_without_a_job_counts_first_choices(chooser: Chooser) -> None:
    sheet = cells(box_sheet(example("box"), chooser)).split("takeoff")[1]
    assert re.search(r"push-in-3-port</span></td><td>—</td><td class=\"number\">2</td>", sheet)


def test_part_number_and_packs_are_those_of_the_catalogue(chooser: Chooser) -> None:
    name = HOSTILE.replace("\x07", "").replace("\u202e", "")
    job = {"catalogue": own_catalogue("own", name), "joints": [{"quantity": 60, "joint": JOINT}]}
    sheet = of(job, chooser)
    assert "<td>AB-1</td>" in cells(sheet)
    assert "<script" not in sheet
    assert "invented" not in sheet


def test_joints_of_a_box_are_each_told_from_their_own_catalogue(chooser: Chooser) -> None:
    joints = [{"id": "mine", "joint": JOINT}, {"id": "shown", "catalogue": "shop", "joint": JOINT}]
    source = box_source({"catalogue": own_catalogue("own"), "joints": joints}, chooser)
    mine, shown = (joint.made[0].listing for joint in source.pages[0].joints)
    assert mine["name"] == "Own lever"
    assert shown["name"] != "Own lever"
    assert source.catalogue == {"name": "mine, shop", "demo": True}
    assert [(one.line["count"], one.part_number, one.catalogue) for one in source.takeoff] == [
        (1, "AB-1", "mine"),
        (1, None, "shop"),
    ]
    assert "own (mine)</span></td><td>AB-1</td>" in cells(work_sheet(source, SheetWords()).decode())


def test_connectors_of_two_catalogues_with_one_id_are_kept_apart(chooser: Chooser) -> None:
    joints = [{"id": "shown", "catalogue": "shop", "joint": JOINT}, {"id": "mine", "joint": JOINT}]
    only = {"connectors": ["lever-3-port"]}
    box = {"catalogue": own_catalogue("lever-3-port"), "joints": [{**one, "only": only} for one in joints]}
    source = box_source(box, chooser)
    shown, mine = (joint.made[0].listing for joint in source.pages[0].joints)
    assert shown["name"] != mine["name"] == "Own lever"
    assert [one.line["name"] for one in source.takeoff] == [shown["name"], "Own lever"]


def test_amendments_of_all_joints_of_a_box_are_told(chooser: Chooser) -> None:
    joints = [
        {"joint": JOINT},
        {"amendments": ["house-rules"], "joint": JOINT},
        {"amendments": ["coastal-county", "house-rules"], "joint": JOINT},
    ]
    source = box_source({"joints": joints}, chooser)
    assert source.amendments == ["house-rules", "coastal-county"]
    assert {rule.amendment for rule in source.rules()} == {None, "house-rules", "coastal-county"}
    assert "amended by house-rules, coastal-county" in work_sheet(source, SheetWords()).decode()


def test_nothing_from_outside_is_more_than_text(chooser: Chooser) -> None:
    job = {"id": HOSTILE, "joints": [{"id": HOSTILE, "joint": JOINT}, {"id": "b", "joint": {HOSTILE: 1}}]}
    sheet = of(job, chooser)
    names = {tag for tag, _ in tags(sheet)}
    assert "script" not in names
    assert sheet.count("<style>") == 1
    assert "\u202e" not in sheet
    assert "\x07" not in sheet
    assert "&amp;amp;" in sheet


def test_file_needs_nothing_beside_it_and_runs_nothing(job_sheet: str) -> None:
    for tag, attributes in tags(job_sheet):
        assert tag not in ("script", "link", "img", "iframe", "object", "form", "a")
        assert not {"src", "href", "style"} & set(attributes)
        assert not [one for one in attributes if one.startswith("on")]


def test_policy_lets_its_own_style_through_and_nothing_else(job_sheet: str) -> None:
    style = re.search(r"<style>(.*?)</style>", job_sheet, re.DOTALL)
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert f"default-src 'none'; style-src 'sha256-{digest}'" in job_sheet


def test_same_answer_gives_the_same_sheet(job_sheet: str, chooser: Chooser) -> None:
    assert of(example("job"), chooser) == job_sheet


def test_shipped_files_of_the_sheet_are_in_the_package() -> None:
    folder = Path(reports.__file__).parent
    assert {"work_sheet.css", "work_sheet.html"} <= {path.name for path in folder.iterdir()}
