"""Rows become joints: what belongs together, what contradicts itself, and where each part stands."""

from __future__ import annotations

import dataclasses

import pytest

from splicewright.answering import choose
from splicewright.sheets.columns import PASSED
from splicewright.sheets.joints import faults_beside, is_head, mapping_hint, read_headings, read_joints
from splicewright.sheets.table import Spot
from tests.sheets.tables import grid_of, joints_of


def test_a_row_is_a_joint_where_there_is_no_id() -> None:
    joints = joints_of("size,count\n12 AWG,2\n14 AWG,3\n")
    assert [joint.value for joint in joints] == [
        {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}},
        {"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}},
    ]


def test_rows_with_one_id_are_conductors_of_one_joint() -> None:
    (joint,) = joints_of("id,size,count,exposure\na,12 AWG,2,damp\na,18 AWG,,\n")
    assert joint.value == {
        "id": "a",
        "joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "18 AWG"}]},
        "place": {"exposure": "damp"},
    }
    assert joint.faults == ()


def test_what_is_read_is_a_question() -> None:
    (joint,) = joints_of("Volts,SIZE,count,box_material,id\n120 V,12 awg,2,Metal,a\n")
    assert choose(joint.value)["outcome"] == "options"


def test_every_part_lands_under_its_pointer() -> None:
    head = "id,quantity,size,kind,temporary,depth,connector,strip,code,waive,waive reason,waive until"
    (joint,) = joints_of(
        f'{head}\na,3,12 AWG,feeder,no,24 in,lever-2-port,11 mm,nfpa70-2020,"r/a, r/b",why,2026-12-31\n'
    )
    waiver = {"reason": "why", "until": "2026-12-31"}
    assert joint.value == {
        "id": "a",
        "quantity": 3,
        "joint": {"conductors": [{"size": "12 AWG"}]},
        "circuit": {"kind": "feeder"},
        "work": {"temporary": False},
        "place": {"depth": {"value": 24, "unit": "in"}},
        "proposal": {"connector": "lever-2-port", "strip": {"value": 11, "unit": "mm"}},
        "code": "nfpa70-2020",
        "waive": [{**waiver, "rule": "r/a"}, {**waiver, "rule": "r/b"}],
    }


@pytest.mark.parametrize(
    ("text", "line", "heading", "says"),
    [
        ("id,size,exposure\na,12 AWG,dry\na,14 AWG,damp\n", 3, "exposure", "differs from an earlier row"),
        ("id,size\na,12 AWG\n,14 AWG\n", 3, "id", "has no id"),
        ("id,size\na,12 AWG\nb,12 AWG\na,14 AWG\n", 4, "id", "already stands in row 2"),
        ("size,quantity\n12 AWG,0\n", 2, "quantity", "0 is no number of joints"),
        ("size,quantity\n12 AWG,2.5\n", 2, "quantity", "2.5 is no number of joints"),
        ('size,amps\n12 AWG,"4,5"\n', 2, "amps", "decimal comma"),
        ("size,amps\n12 AWG,4,5\n", 2, "amps", "the row has 3 cells"),
    ],
)
def test_fault_of_a_cell_is_told_with_its_place(text: str, line: int, heading: str, says: str) -> None:
    ((fault,),) = [one.faults for one in joints_of(text) if one.faults]
    assert fault.spot == Spot(line, heading=heading)
    assert says in fault.says


def test_agreeing_repeats_are_no_fault() -> None:
    (joint,) = joints_of("id,size,volts\na,12 AWG,120\na,14 AWG,120 V\n")
    assert joint.faults == ()


def test_every_faulty_cell_of_a_joint_is_told() -> None:
    (joint,) = joints_of('id,size,amps,volts\na,12 AWG,"4,5",high\na,14 AWG,x,\n')
    assert [(fault.spot.line, fault.pointer) for fault in joint.faults] == [
        (2, "/circuit/amps"),
        (3, "/circuit/amps"),
        (2, "/circuit/volts"),
    ]


@pytest.mark.parametrize(
    ("pointer", "spot"),
    [
        ("/joint/conductors/1/size", Spot(4, heading="size")),
        ("/joint/conductors/1/count", Spot(4, heading="size")),
        ("/joint/conductors/0/material", Spot(3, heading="material")),
        ("/joint/conductors/9/size", Spot(4, heading="size")),
        ("/place/exposure", Spot(4, heading="exposure")),
        ("/place/ambient/value", Spot(3, heading="ambient")),
        ("/place", Spot(3, heading="size")),
        ("", Spot(3, heading="size")),
    ],
)
def test_part_is_found_in_its_cell(pointer: str, spot: Spot) -> None:
    joint = joints_of("id,size,material,exposure,ambient\nz,12 AWG,,,\na,12 AWG,copper,,30 degC\na,14 AWG,,damp,\n")[1]
    assert joint.spot(pointer) == spot


@pytest.mark.parametrize(
    ("head", "says"),
    [
        ("id,size,exposur", "unknown column \"exposur\"; did you mean 'exposure'?"),
        ("id,size,drawing number", "begin it with # to have it passed over"),
        ("id,size,Size", "the column 'size' stands twice"),
        ("id,count,exposure", "there is no column 'size'"),
    ],
)
def test_wrong_heading_is_told(head: str, says: str) -> None:
    (fault,) = read_headings(grid_of(f"{head}\na,b,c\n")).faults
    assert says in fault.says


def test_column_without_a_heading_is_told_where_it_holds_something() -> None:
    assert [fault.says for fault in read_headings(grid_of("size,,count\n12 AWG,x,2\n")).faults] == [
        "the column has no heading"
    ]
    assert read_headings(grid_of("size,,count\n12 AWG,,2\n")).faults == ()


def test_answers_and_columns_for_people_are_not_read() -> None:
    joints = joints_of("size,count,# drawing,answer,Answer reasons\n12 AWG,2,E-1,options,fine\n")
    assert joints[0].value == {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


@pytest.mark.parametrize(
    ("head", "ours"),
    [
        ("size,count", True),
        ("id,siez,count,exposure", True),
        ("name,size,modified", False),
        ("circuit,breaker,wire,load", False),
        ("joint,wire,count", False),
        ("Tag,Wire,insulation,exposure,Note", True),
        ("a,b", False),
        ("size", False),
    ],
)
def test_table_is_ours_where_half_of_its_headings_are(head: str, ours: bool) -> None:
    assert read_headings(grid_of(f"{head}\n1,2,3,4\n")).of_joints is ours


def test_complaint_about_a_row_that_no_joint_has_is_told() -> None:
    grid = dataclasses.replace(grid_of("id,size\na,12 AWG\n"), complaints=[(1, 0, "is merged")])
    assert [(one.spot.line, one.says) for one in faults_beside(grid)] == [(1, "is merged")]


def test_headings_of_ones_own_are_mapped_and_passed_over() -> None:
    grid = grid_of("Tag,Wire,Note\na,12 AWG,x\n")
    mapped = {"tag": "id", "WIRE": "size", "Note": "#"}
    headings = read_headings(grid, mapped)
    assert (headings.faults, is_head(grid.head.values, mapped), is_head(grid.head.values)) == ((), True, False)
    (joint,) = read_joints(grid, headings)
    assert joint.value == {"id": "a", "joint": {"conductors": [{"size": "12 AWG"}]}}
    (fault,) = read_headings(grid, {**mapped, "note": "exposur"}).faults
    assert "unknown column \"exposur\"; did you mean 'exposure'?" in fault.says


@pytest.mark.parametrize(
    "head", ["Tag,Qty,Wire,Rev,By,On", "Wire Size,Wires,Floor,Room,By", "Splice,AWG,Breaker,Jb,Sheet,Rev,By,Note,Day"]
)
def test_mapping_that_is_hinted_at_makes_a_table_of_joints(head: str) -> None:
    grid = grid_of(f"{head}\n{','.join('x' for _ in head.split(','))}\n")
    assert not read_headings(grid).of_joints
    hint = mapping_hint([grid])
    told = dict(one.rsplit("=", 1) for one in hint.partition('--columns "')[2].partition('"')[0].split(","))
    others = {one: PASSED for one in head.split(",") if one not in told}
    assert hint.endswith(f"pass over what is none of these by {next(iter(others))}={PASSED}")
    headings = read_headings(grid, {**told, **others})
    assert (headings.of_joints, headings.faults) == (True, ())
