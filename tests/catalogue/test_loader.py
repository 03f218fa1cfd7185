from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from splicewright.catalogue import (
    catalogue_names,
    catalogue_of,
    load_catalogue,
    parse_catalogue,
    read_catalogue,
)
from splicewright.faults import Faults
from splicewright.refusals import Refused
from tests.catalogue.making import catalogue, combinations, listing, port, ports

GOOD = """\
catalogue: trial
note: Made for a test.
connectors:
  - id: twist-on-medium
    method: twist-on
    takes:
      - materials: [copper]
        constructions: [solid, stranded]
        combinations:
          - {14 AWG: 2 to 3}
          - {12 AWG: 2, 18 AWG fine-stranded: 1}
    places: [dry]
    grounding: also
    tool: none
"""


def faults(text: str, name: str | None = None) -> list[str]:
    with pytest.raises(Faults) as caught:
        parse_catalogue(text, "trial.yaml", name)
    assert str(caught.value) == "\n".join(map(str, caught.value.faults))
    return list(map(str, caught.value.faults))


def changed(old: str, new: str) -> str:
    assert GOOD.count(old) == 1
    return GOOD.replace(old, new)


def told(value: Any) -> dict[str, str]:
    with pytest.raises(Refused) as caught:
        catalogue_of(value)
    return {problem.pointer: problem.says for problem in caught.value.problems}


def test_good_catalogue_is_read():
    found = parse_catalogue(GOOD, "trial.yaml", "trial")
    assert [connector.id for connector in found.connectors] == ["twist-on-medium"]
    assert [combination.text for combination in found.connectors[0].takes[0].combinations] == [
        "2 x 14 AWG",
        "3 x 14 AWG",
        "2 x 12 AWG + 1 x 18 AWG fine-stranded",
    ]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (
            "    tool: none",
            "    tol: none\n    tool: none",
            "trial.yaml:14: twist-on-medium: tol: unknown key; did you mean 'tool'?",
        ),
        (
            "method: twist-on",
            "method: twist",
            "trial.yaml:5: twist-on-medium: method: \"twist\" is not known; did you mean 'twist-on'?",
        ),
        (
            "[dry]",
            "[dri]",
            "trial.yaml:12: twist-on-medium: places/0: \"dri\" is not known; did you mean 'dry'?",
        ),
        (
            "    grounding: also\n    tool: none\n",
            '    tool: none\nunstated: "no"\n',
            "trial.yaml:4: twist-on-medium: grounding: is required; write one of: also, only, no",
        ),
        (
            "id: twist-on-medium",
            "id: Twist_on",
            (
                'trial.yaml:4: Twist_on: id: "Twist_on" is not a name in kebab-case; '
                "write it like twist-on-medium, in at most 60 characters"
            ),
        ),
        (
            "{14 AWG: 2 to 3}",
            "{14: 2}",
            "trial.yaml:10: twist-on-medium: takes/0/combinations/0/14: '14' has no unit; write '14 AWG' or '14 mm2'",
        ),
        (
            "{14 AWG: 2 to 3}",
            "{14 AWG: two}",
            (
                'trial.yaml:10: twist-on-medium: takes/0/combinations/0/14 AWG: "two" is no number of conductors; '
                "write 1 to 24, or a span like 2 to 4"
            ),
        ),
        (
            "{14 AWG: 2 to 3}",
            "{14 AWG: 3 to 2}",
            (
                "trial.yaml:10: twist-on-medium: takes/0/combinations/0/14 AWG: the span 3 to 2 does not go up; "
                "write 2 to 3, or one number"
            ),
        ),
        (
            "18 AWG fine-stranded: 1",
            "18 AWG fine-strandd: 1",
            (
                "trial.yaml:11: twist-on-medium: takes/0/combinations/1/18 AWG fine-strandd: "
                "\"fine-strandd\" is not known; did you mean 'fine-stranded'?"
            ),
        ),
        (
            "{14 AWG: 2 to 3}",
            "{}",
            (
                "trial.yaml:10: twist-on-medium: takes/0/combinations/0: must be a map of sizes to numbers of "
                "conductors, such as {12 AWG: 2, 14 AWG: 1}"
            ),
        ),
        (
            "{14 AWG: 2 to 3}",
            "{14 AWG: 2 to 20, 12 AWG: 5}",
            (
                "trial.yaml:10: twist-on-medium: takes/0/combinations/0: has more than 24 conductors; "
                "a joint has at most that many"
            ),
        ),
    ],
)
def test_fault_names_file_line_and_what_to_write(old, new, fault):
    assert faults(changed(old, new)) == [fault]


def test_all_faults_are_told_at_once_in_the_order_of_lines():
    text = changed("method: twist-on", "method: twist").replace("[dry]", "[dri]").replace("12 AWG", "12 AGW")
    assert [fault.split(": ")[0] for fault in faults(text)] == ["trial.yaml:5", "trial.yaml:11", "trial.yaml:12"]


def test_text_that_is_not_yaml_names_its_line():
    assert faults(GOOD + "  - {") == ["trial.yaml:16: not YAML: did not find expected node content"]


def test_key_that_stands_twice_names_its_line():
    assert faults(GOOD + "    tool: none\n") == ['trial.yaml:15: the key "tool" stands twice in one map']


def test_empty_file_is_a_fault():
    assert faults("") == ["trial.yaml:1: the document is empty"]


def test_file_that_is_a_list_is_a_fault():
    assert faults("- 1\n") == ["trial.yaml:1: must be an object with catalogue, note, connectors"]


def test_catalogue_is_named_like_its_file():
    assert faults(GOOD, "shop") == ["trial.yaml:1: catalogue: trial stands in shop.yaml; give both one name"]


def test_connector_without_an_id_is_told_by_its_line():
    assert faults(changed("  - id: twist-on-medium\n    method", "  - method")) == [
        "trial.yaml:4: connectors/0/id: is required"
    ]


def test_combination_that_stands_twice():
    group = combinations({"14 AWG": "2 to 4"}, {"12 AWG": 2}, {"14 AWG": 3})
    assert told(catalogue(listing(takes=[group]))) == {
        "/connectors/0/takes/0/combinations/2": "3 x 14 AWG stands twice; leave one out"
    }


def test_combination_that_stands_twice_over_two_groups():
    assert told(catalogue(listing(takes=[combinations({"14 AWG": 2}), combinations({"14 AWG": 2})]))) == {
        "/connectors/0/takes/1/combinations/0": "2 x 14 AWG stands twice; leave one out"
    }


def test_same_sizes_in_another_construction_do_not_stand_twice():
    other = combinations({"14 AWG": 2}, {"14 AWG fine-stranded": 2}, constructions=["solid"])
    assert catalogue_of(catalogue(listing(takes=[combinations({"14 AWG": 2}), other])))


def test_order_of_sizes_in_a_combination_does_not_hide_that_it_stands_twice():
    group = combinations({"14 AWG": 1, "12 AWG": 2}, {"12 AWG": 2, "14 AWG": 1})
    assert list(told(catalogue(listing(takes=[group])))) == ["/connectors/0/takes/0/combinations/1"]


def test_range_that_is_upside_down():
    assert told(catalogue(listing(takes=[ports(port(2, "12 AWG", "14 AWG"))]))) == {
        "/connectors/0/takes/0/ports/0/solid/from": "the range is upside down; write {from: 14 AWG, to: 12 AWG}"
    }


def test_range_of_two_systems_of_sizes():
    assert told(catalogue(listing(takes=[ports(port(2, "14 AWG", "4 mm2"))]))) == {
        "/connectors/0/takes/0/ports/0/solid": (
            "14 AWG and 4 mm2 are of two systems; write both in AWG and kcmil, or both in mm2"
        )
    }


def test_two_ranges_for_one_kind_of_conductor():
    twice = {"count": 2, "solid": [{"from": "14 AWG", "to": "12 AWG"}, {"from": "10 AWG", "to": "8 AWG"}]}
    assert told(catalogue(listing(takes=[ports(twice)]))) == {
        "/connectors/0/takes/0/ports/0/solid/1": (
            "two ranges hold for one kind of conductor; write one, or materials and ends that differ"
        )
    }


def test_group_that_takes_nothing():
    empty = {"materials": ["copper"]}
    assert told(catalogue(listing(takes=[empty]))) == {
        "/connectors/0/takes/0": "takes nothing; write combinations, ports or metal"
    }


def test_group_that_is_no_map():
    assert told(catalogue(listing(takes=[1]))) == {"/connectors/0/takes/0": "must be an object"}


def test_connector_that_takes_nothing():
    assert told(catalogue(listing(takes=[]))) == {"/connectors/0/takes": "needs 1 to 20 groups"}


def test_group_without_a_combination():
    assert told(catalogue(listing(takes=[combinations()]))) == {
        "/connectors/0/takes/0/combinations": "needs 1 to 500 combinations"
    }


def test_group_with_both_combinations_and_ports():
    both = {**combinations({"14 AWG": 2}), "ports": [port(2, "14 AWG", "12 AWG")]}
    assert told(catalogue(listing(takes=[both]))) == {"/connectors/0/takes/0": "write combinations or ports, not both"}


def test_port_that_takes_nothing():
    assert told(catalogue(listing(takes=[ports({"count": 3})]))) == {
        "/connectors/0/takes/0/ports/0": (
            "takes nothing; write the sizes of at least one of: solid, stranded, fine-stranded"
        )
    }


def test_constructions_stand_where_they_mean_something():
    assert told(catalogue(listing(takes=[{**ports(port(1, "14 AWG", "12 AWG")), "constructions": ["solid"]}]))) == {
        "/connectors/0/takes/0/constructions": "is said by each port; leave it out here"
    }
    without = combinations({"14 AWG": 2})
    del without["constructions"]
    assert told(catalogue(listing(takes=[without]))) == {
        "/connectors/0/takes/0/constructions": "is required with combinations"
    }
    assert told(catalogue(listing(takes=[combinations({"14 AWG": 2}, least=2)]))) == {
        "/connectors/0/takes/0/least": "goes with ports; a combination says its own number"
    }


def test_id_that_stands_twice():
    assert told(catalogue(listing(), listing(id="two"), listing())) == {
        "/connectors/2/id": "one stands twice; give each connector an id of its own"
    }


def test_id_that_stands_twice_is_told_beside_other_faults():
    assert set(told(catalogue(listing(tool="glue"), listing()))) == {"/connectors/0/tool", "/connectors/1/id"}


def test_faults_of_two_kinds_in_one_connector_are_both_told():
    group = combinations({"14 AWG": 2}, {"14 AWG": 2})
    assert set(told(catalogue(listing(takes=[group], method="glue", id="A")))) == {
        "/connectors/0/id",
        "/connectors/0/method",
        "/connectors/0/takes/0/combinations/1",
    }


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("volts", 600, "'600' is not a number of volts; write a number, a space and one of: V"),
        ("volts", "600 W", "'600 W' is not a number of volts; write a number, a space and one of: V"),
        ("degrees", "105 C", "'105 C' is not a temperature; write a number, a space and one of: degC, degF"),
        ("strip", "half an inch", "'half an inch' is not a length; write a number, a space and one of: in, ft, mm"),
        ("torque", "35", "\"35\" is not a torque; write it like '35 lbf-in' or '4 N-m'"),
        ("outside", "30 mm", "\"30 mm\" is no set of dimensions; write it like '30 x 18 x 18 mm'"),
        ("reusable", "yes", '"yes" is neither true nor false'),
        ("places", [], "may not be empty; leave it out or name at least one"),
        ("volts", [], "needs 1 to 20 figures"),
        ("strip", "3/7 in", "'3/7 in' is not a length; write a number, a space and one of: in, ft, mm"),
    ],
)
def test_figure_that_is_not_written_right(key, value, says):
    assert told(catalogue(listing(**{key: value}))) == {f"/connectors/0/{key}": says}


def test_torque_range_that_is_upside_down():
    torque = [{"from": "8 AWG", "to": "14 AWG", "torque": "35 lbf-in"}]
    assert told(catalogue(listing(torque=torque))) == {
        "/connectors/0/torque/0/from": "the range is upside down; write {from: 14 AWG, to: 8 AWG}"
    }


def test_line_that_stands_for_too_many_combinations():
    wide = {f"{size} AWG": "1 to 5" for size in (14, 12, 10)}
    assert told(catalogue(listing(takes=[combinations(wide)]))) == {
        "/connectors/0/takes/0/combinations/0": "stands for more than 60 combinations; write several lines"
    }


def test_digest_holds_what_connectors_say_whatever_their_order_and_the_note():
    one, two = listing(), listing(id="two", volts="600 V", takes=[combinations({"14 AWG": 2}, {"12 AWG": 2})])
    first = catalogue_of(catalogue(one, two))
    assert first.digest.startswith("sha256:")
    turned = copy.deepcopy(catalogue(two, one))
    turned["note"] = "Another."
    turned["connectors"][0]["takes"][0]["combinations"].reverse()
    assert catalogue_of(turned).digest == first.digest


@pytest.mark.parametrize(
    "more",
    [
        {"name": "Shell"},
        {"volts": "300 V"},
        {"places": ["damp", "dry"]},
        {"strip": "12 mm"},
        {"torque": "9 lbf-in"},
        {"outside": "30 x 18 mm"},
        {"sealed": True},
        {"takes": [combinations({"14 AWG": "2 to 3"})]},
        {"takes": [combinations({"14 AWG": 2}, ends=["bonded", "plain"])]},
        {"takes": [combinations({"14 AWG stranded": 2})]},
        {"takes": [ports(port(2, "14 AWG", "14 AWG"))]},
        {"takes": [ports(port(2, "14 AWG", "14 AWG"), least=2)]},
        {"takes": [ports({**port(2, "14 AWG", "14 AWG"), "conductors": 2})]},
    ],
)
def test_digest_changes_with_what_a_connector_says(more):
    said = [catalogue_of(catalogue(listing())).digest, catalogue_of(catalogue(listing(**more))).digest]
    if "least" in str(more) or "conductors" in str(more):
        said.append(catalogue_of(catalogue(listing(takes=[ports(port(2, "14 AWG", "14 AWG"))]))).digest)
    assert len(set(said)) == len(said)


def test_digest_is_that_of_the_file_and_of_the_same_plain_data(tmp_path: Path):
    path = tmp_path / "trial.yaml"
    path.write_text(GOOD)
    plain = {
        "catalogue": "trial",
        "note": "",
        "connectors": [
            {
                "tool": "none",
                "grounding": "also",
                "places": ["dry"],
                "method": "twist-on",
                "id": "twist-on-medium",
                "takes": [
                    combinations({"14 AWG": 3}, {"18 AWG fine-stranded": 1, "12 AWG": 2}, {"14 AWG": 2}),
                ],
            }
        ],
    }
    assert read_catalogue(path).digest == catalogue_of(plain).digest


def test_fault_in_a_file_names_its_path(tmp_path: Path):
    path = tmp_path / "trial.yaml"
    path.write_text(changed("[dry]", "[dri]"))
    with pytest.raises(Faults, match=re_path(path) + ":12: twist-on-medium: places"):
        read_catalogue(path)


def re_path(path: Path) -> str:
    return str(path).replace(".", r"\.")


def test_shipped_catalogues_are_named_and_kept():
    assert "shop" in catalogue_names()
    assert load_catalogue("shop") is load_catalogue("shop")


def test_unknown_catalogue_names_the_nearest():
    with pytest.raises(Faults, match="\"shp\" is not known; did you mean 'shop'"):
        load_catalogue("shp")


def test_name_never_leaves_the_folder():
    with pytest.raises(Faults):
        load_catalogue("../tables/cover")


@pytest.mark.parametrize("name", catalogue_names())
def test_every_shipped_catalogue_is_without_fault(name):
    assert load_catalogue(name).connectors
