from __future__ import annotations

import gc
import weakref
from dataclasses import replace

import pytest

from splicewright.catalogue import NEAREST_FIRST, Connector, Fill, fill
from splicewright.catalogue.connector_index import judge_of
from tests.catalogue.making import combinations, connector, joint, port, ports

CAP = connector(combinations({"18 AWG": 2}, {"14 AWG": 3}, {"12 AWG": 2, "14 AWG": 1}, {"12 AWG": 3}))
LEADS = connector(combinations({"12 AWG": 2, "18 AWG fine-stranded": 1}, {"14 AWG": 2, "18 AWG fine-stranded": 1}))
SPRING = connector(
    ports({**port(3, "20 AWG", "12 AWG"), "stranded": {"from": "16 AWG", "to": "14 AWG"}}), method="push-in"
)
BLOCK = connector(ports(port(1, "10 AWG", "6 AWG"), port(2, "14 AWG", "10 AWG")), method="terminal-block")


def said(of: Connector, *written: str) -> Fill:
    return fill(of, joint(*written))


def test_joint_equal_to_a_listed_combination_is_listed():
    assert said(CAP, "2 x 12 AWG", "1 x 14 AWG").to_dict() == {
        "basis": "listed",
        "listing": "2 x 12 AWG + 1 x 14 AWG",
        "comfort": 29,
    }


def test_mix_between_two_listed_ones_is_bracketed_and_names_them():
    found = said(CAP, "1 x 12 AWG", "2 x 14 AWG")
    assert (found.basis, found.between) == ("bracketed", ("3 x 14 AWG", "2 x 12 AWG + 1 x 14 AWG"))


def test_small_wire_does_not_ride_in_with_two_large_ones():
    """Two of the listed ones stand below and above it, but neither has anything as small as 24 AWG."""
    only = connector(combinations({"12 AWG": 2}, {"12 AWG": 3}))
    found = said(only, "2 x 12 AWG", "1 x 24 AWG")
    assert (found.verdict, found.by) == ("size-not-taken", "24 AWG; 12 AWG is the smallest listed in such a mix")


def test_small_wire_is_bracketed_where_one_of_the_two_has_as_small_a_one():
    of = connector(combinations({"18 AWG": 2}, {"12 AWG": 3}))
    assert said(of, "2 x 12 AWG", "1 x 18 AWG").between == ("2 x 18 AWG", "3 x 12 AWG")


def test_nearest_pair_with_a_small_enough_wire_is_named():
    of = connector(combinations({"18 AWG": 2}, {"12 AWG": 2}, {"12 AWG": 3}))
    assert said(of, "2 x 12 AWG", "1 x 18 AWG").between == ("2 x 18 AWG", "3 x 12 AWG")


def test_upper_one_with_a_small_enough_wire_is_named():
    of = connector(combinations({"12 AWG": 2}, {"12 AWG": 3}, {"12 AWG": 3, "18 AWG": 1}))
    assert said(of, "2 x 12 AWG", "1 x 18 AWG").between == ("2 x 12 AWG", "3 x 12 AWG + 1 x 18 AWG")


def test_more_conductors_than_any_listing_are_too_many():
    found = said(CAP, "12 x 12 AWG")
    assert (found.verdict, found.by) == ("too-many", "12 conductors; at most 3 are listed")


def test_larger_than_any_listing_is_too_large():
    found = said(CAP, "2 x 10 AWG")
    assert (found.verdict, found.by) == ("too-large", "10 AWG; 12 AWG is the largest listed")


def test_listed_sizes_in_too_great_a_number_are_too_large():
    of = connector(combinations({"14 AWG": 4}, {"12 AWG": 2}))
    found = said(of, "3 x 12 AWG")
    assert found.verdict == "too-large"
    assert found.by == "3 x 12 AWG; the largest listed of 4 conductors is 4 x 14 AWG"


def test_fewer_conductors_than_any_listing_are_too_few():
    found = said(CAP, "1 x 12 AWG")
    assert (found.verdict, found.by) == ("too-few", "1 conductor; at least 2 are listed")


def test_smaller_than_any_listing_is_too_small():
    found = said(CAP, "2 x 22 AWG")
    assert (found.verdict, found.by) == ("too-small", "22 AWG; 18 AWG is the smallest listed")


def test_listed_sizes_in_too_small_a_number_are_too_small():
    of = connector(combinations({"14 AWG": 3}, {"12 AWG": 2}))
    found = said(of, "2 x 14 AWG")
    assert (found.verdict, found.by) == (
        "too-small",
        "2 x 14 AWG; the smallest listed of 2 conductors is 2 x 12 AWG",
    )


def test_too_small_tells_of_a_smaller_number_where_none_so_many_are_listed():
    of = connector(combinations({"12 AWG": 1, "18 AWG": 1}, {"12 AWG": 4}))
    found = said(of, "3 x 14 AWG")
    assert found.by == "3 x 14 AWG; the smallest listed of 2 conductors is 1 x 12 AWG + 1 x 18 AWG"
    assert found.verdict == "too-small"


def test_construction_that_nothing_takes_is_said_before_all_else():
    found = said(CAP, "12 x 24 AWG fine-stranded")
    assert found.verdict == "construction-not-taken"
    assert found.by == "fine-stranded copper; it takes solid or stranded copper"


def test_metal_that_nothing_takes_is_construction_not_taken():
    found = said(CAP, "1 x 12 AWG", "1 x 12 AWG aluminum")
    assert (found.verdict, found.by) == (
        "construction-not-taken",
        "solid aluminum; it takes solid or stranded copper",
    )


def test_end_that_nothing_takes_is_construction_not_taken():
    found = said(CAP, "2 x 14 AWG stranded ferruled")
    assert found.by == "stranded copper with ferruled ends; it takes solid or stranded copper"


def test_word_on_a_size_asks_for_that_construction_there():
    assert said(LEADS, "2 x 12 AWG", "1 x 18 AWG fine-stranded").basis == "listed"
    assert said(LEADS, "1 x 12 AWG", "1 x 12 AWG stranded", "1 x 18 AWG fine-stranded").basis == "listed"
    assert said(LEADS, "3 x 12 AWG").verdict == "construction-not-taken"


def test_fine_strands_in_the_place_of_solid_ones_are_not_taken():
    found = said(LEADS, "2 x 12 AWG fine-stranded", "1 x 18 AWG")
    assert (found.verdict, found.by) == (
        "construction-not-taken",
        "nothing listed takes 3 conductors of solid or fine-stranded copper together",
    )


def test_fine_strands_in_too_large_a_place_are_too_large():
    found = said(LEADS, "1 x 12 AWG fine-stranded", "2 x 14 AWG")
    assert found.verdict == "too-large"
    assert found.by == (
        "1 x 12 AWG fine-stranded + 2 x 14 AWG solid; the largest listed of 3 conductors is "
        "2 x 12 AWG + 1 x 18 AWG fine-stranded"
    )


ANY = ["solid", "stranded", "fine-stranded"]
WIDE = combinations({"18 AWG": 2}, {"10 AWG": 3}, constructions=ANY)


def test_listed_sizes_with_kinds_in_each_others_places_are_not_listed():
    assert said(LEADS, "1 x 12 AWG fine-stranded", "1 x 12 AWG", "1 x 18 AWG").verdict == "too-large"


def test_lower_one_must_find_its_kinds_in_the_joint():
    of = connector(
        combinations({"14 AWG": 1, "18 AWG fine-stranded": 1}), combinations({"12 AWG": 3}, constructions=ANY)
    )
    assert said(of, "1 x 14 AWG", "1 x 16 AWG fine-stranded").basis == "bracketed"
    assert said(of, "1 x 14 AWG fine-stranded", "1 x 16 AWG").verdict == "too-small"


def test_lower_one_whose_kinds_do_not_match_is_not_named():
    of = connector(combinations({"14 AWG": 1, "18 AWG fine-stranded": 1}), WIDE)
    assert said(of, "1 x 14 AWG fine-stranded", "1 x 16 AWG").between == ("2 x 18 AWG", "3 x 10 AWG")


def test_upper_one_whose_kinds_do_not_match_is_not_named():
    of = connector(combinations({"12 AWG": 1, "14 AWG fine-stranded": 1}), WIDE)
    assert said(of, "1 x 14 AWG", "1 x 16 AWG fine-stranded").between[1] == "1 x 12 AWG + 1 x 14 AWG fine-stranded"
    assert said(of, "1 x 12 AWG fine-stranded", "1 x 14 AWG").between == ("2 x 18 AWG", "3 x 10 AWG")


def test_construction_that_the_two_do_not_share_is_never_bracketed():
    """Solid lies between them by size, but the upper one is listed for stranded conductors only."""
    of = connector(
        combinations({"14 AWG": 2}, constructions=["solid"]), combinations({"12 AWG": 2}, constructions=["stranded"])
    )
    assert said(of, "1 x 12 AWG", "1 x 14 AWG").verdict == "too-large"
    assert said(of, "1 x 12 AWG stranded", "1 x 14 AWG stranded").verdict == "too-small"


def test_two_groups_that_share_a_construction_bracket_together():
    of = connector(combinations({"14 AWG": 2}, constructions=["solid"]), combinations({"12 AWG": 2}))
    assert said(of, "1 x 12 AWG", "1 x 14 AWG").between == ("2 x 14 AWG", "2 x 12 AWG")


def test_metric_size_is_compared_by_area():
    assert said(CAP, "2 x 2.5 mm2").between == ("2 x 18 AWG", "2 x 12 AWG + 1 x 14 AWG")
    assert said(CAP, "3 x 2.5 mm2").between == ("3 x 14 AWG", "3 x 12 AWG")
    assert said(CAP, "3 x 4 mm2").by == "4 mm2; 12 AWG is the largest listed"


def test_ports_take_one_conductor_each_and_say_how_many_stay_empty():
    found = said(SPRING, "2 x 12 AWG")
    assert found.to_dict() == {
        "basis": "listed",
        "listing": "3 ports: solid 20 AWG to 12 AWG, stranded 16 AWG to 14 AWG",
        "comfort": 0,
        "spare_ports": 1,
    }


def test_more_conductors_than_ports_are_ports_too_few():
    found = said(SPRING, "4 x 14 AWG")
    assert (found.verdict, found.by) == ("ports-too-few", "4 conductors; 3 ports")


def test_port_listed_for_more_conductors_takes_them():
    of = connector(ports({**port(2, "18 AWG", "12 AWG"), "conductors": 2}))
    assert said(of, "4 x 14 AWG").spare_ports == 0
    assert said(of, "3 x 14 AWG").spare_ports == 0
    assert said(of, "1 x 14 AWG").spare_ports == 1
    assert said(of, "5 x 14 AWG").by == "5 conductors; 2 ports for 4"


def test_port_sizes_are_those_of_the_construction():
    assert said(SPRING, "2 x 12 AWG stranded").by == "12 AWG stranded; 14 AWG is the largest listed"
    assert said(SPRING, "2 x 12 AWG stranded").verdict == "too-large"
    assert said(SPRING, "2 x 18 AWG stranded").by == "18 AWG stranded; 16 AWG is the smallest listed"
    assert said(SPRING, "2 x 18 AWG stranded").verdict == "too-small"


def test_port_construction_that_is_not_listed_is_not_taken():
    assert said(SPRING, "1 x 18 AWG fine-stranded", "2 x 12 AWG").verdict == "construction-not-taken"


def test_fine_strands_go_into_a_port_with_the_end_it_asks_for():
    of = connector(
        ports(
            {**port(2, "18 AWG", "12 AWG"), "fine-stranded": {"from": "18 AWG", "to": "14 AWG", "ends": ["ferruled"]}}
        )
    )
    assert said(of, "1 x 12 AWG", "1 x 16 AWG fine-stranded ferruled").basis == "listed"
    assert said(of, "1 x 12 AWG", "1 x 16 AWG fine-stranded").verdict == "construction-not-taken"


def test_size_of_the_other_system_inside_a_range_is_bracketed():
    found = said(SPRING, "2 x 2.5 mm2")
    assert (found.basis, found.between, found.spare_ports) == ("bracketed", ("20 AWG", "12 AWG"), 1)


def test_size_of_the_other_system_beside_a_size_of_its_own_is_bracketed():
    assert said(SPRING, "1 x 14 AWG", "1 x 2.5 mm2").basis == "bracketed"


def test_group_in_the_joints_own_system_of_sizes_is_preferred():
    of = connector(ports(port(3, "20 AWG", "12 AWG")), ports(port(3, "0.5 mm2", "4 mm2")))
    assert said(of, "2 x 2.5 mm2").listing == "3 ports: solid 0.5 mm2 to 4 mm2"
    assert said(of, "2 x 2.5 mm2").basis == "listed"


def test_kcmil_is_of_the_system_of_awg():
    of = connector(ports(port(2, "1/0 AWG", "250 kcmil")))
    assert said(of, "2 x 4/0 AWG").basis == "listed"


def test_conductors_find_ports_of_different_kinds():
    """A 10 AWG goes into either kind; it must leave the small ports to the small conductors."""
    found = said(BLOCK, "1 x 10 AWG", "2 x 14 AWG")
    assert (found.basis, found.spare_ports) == ("listed", 0)
    assert found.listing == "1 port: solid 10 AWG to 6 AWG + 2 ports: solid 14 AWG to 10 AWG"


def test_too_few_large_ports_are_ports_too_few():
    found = said(BLOCK, "2 x 6 AWG")
    assert found.verdict == "ports-too-few"
    assert found.by == "2 x 6 AWG; 1 port: solid 10 AWG to 6 AWG + 2 ports: solid 14 AWG to 10 AWG"


def test_too_few_small_ports_are_size_not_taken_because_larger_conductors_would_fit():
    assert said(BLOCK, "3 x 14 AWG").verdict == "size-not-taken"
    assert said(BLOCK, "1 x 8 AWG", "2 x 14 AWG").basis == "listed"


def test_size_between_two_kinds_of_ports_is_not_taken():
    of = connector(ports(port(2, "8 AWG", "6 AWG"), port(2, "18 AWG", "14 AWG")))
    assert said(of, "1 x 10 AWG", "1 x 14 AWG").verdict == "size-not-taken"


def test_ports_that_must_all_be_filled_refuse_too_few():
    of = connector(ports(port(2, "14 AWG", "10 AWG"), least=2), method="butt-crimp")
    assert (said(of, "1 x 12 AWG").verdict, said(of, "1 x 12 AWG").by) == (
        "too-few",
        "1 conductor; at least 2 are listed",
    )
    assert said(of, "2 x 12 AWG").basis == "listed"


def test_spare_ports_of_shared_ports_count_what_spreading_leaves():
    of = connector(ports({**port(1, "14 AWG", "12 AWG"), "conductors": 3}, port(2, "12 AWG", "10 AWG")))
    assert said(of, "3 x 14 AWG").spare_ports == 2
    assert said(of, "3 x 12 AWG").spare_ports == 0


def test_foreign_size_in_one_of_several_kinds_of_ports_is_bracketed_there():
    of = connector(ports(port(1, "14 AWG", "10 AWG"), port(1, "1.5 mm2", "6 mm2")))
    assert said(of, "1 x 12 AWG", "1 x 2.5 mm2").basis == "listed"
    both = said(of, "2 x 2.5 mm2")
    assert (both.basis, both.between) == ("bracketed", ("14 AWG", "10 AWG"))


def test_foreign_size_is_told_of_beside_sizes_of_the_ports_own():
    of = connector(ports(port(2, "14 AWG", "10 AWG"), port(1, "18 AWG", "16 AWG")))
    assert said(of, "1 x 16 AWG", "2 x 2.5 mm2").between == ("14 AWG", "10 AWG")


def test_best_of_several_groups_is_given():
    of = connector(ports(port(2, "14 AWG", "10 AWG")), combinations({"12 AWG": 3}, {"18 AWG": 3}))
    assert said(of, "2 x 12 AWG").listing == "2 ports: solid 14 AWG to 10 AWG"
    assert said(of, "3 x 14 AWG").between == ("3 x 18 AWG", "3 x 12 AWG")
    assert said(of, "4 x 12 AWG").verdict == "ports-too-few"


def test_nearest_refusal_of_several_groups_is_given():
    of = connector(combinations({"12 AWG": 3}), ports(port(1, "8 AWG", "6 AWG")))
    assert said(of, "2 x 12 AWG").verdict == "too-few"


def test_refusals_stand_in_the_documented_order_of_nearness():
    assert NEAREST_FIRST == (
        "size-not-taken",
        "too-small",
        "too-few",
        "too-large",
        "ports-too-few",
        "too-many",
        "construction-not-taken",
    )


def test_comfort_is_full_midway_and_none_at_the_edges():
    of = connector(ports(port(2, "1 mm2", "3 mm2")))
    assert [said(of, f"1 x {size} mm2").comfort for size in ("1", "1.5", "2", "2.5", "3")] == [0, 50, 100, 50, 0]
    of = connector(combinations({"1 mm2": 2}, {"2 mm2": 2}, {"3 mm2": 2}))
    assert [said(of, f"2 x {size} mm2").comfort for size in ("1", "1.5", "2", "3")] == [0, 50, 100, 0]


def test_refusal_prints_verdict_and_by():
    assert said(CAP, "1 x 12 AWG").to_dict() == {"verdict": "too-few", "by": "1 conductor; at least 2 are listed"}
    assert not said(CAP, "1 x 12 AWG").fits


@pytest.mark.parametrize("role", ["equipment-grounding", "grounded"])
def test_role_and_circuit_do_not_change_fill(role):
    plain = joint("2 x 12 AWG", "1 x 14 AWG")
    other = replace(
        plain, conductors=tuple(replace(conductor, role=role, circuit="B") for conductor in plain.conductors)
    )
    assert fill(CAP, other) == fill(CAP, plain)


def test_what_is_remembered_of_a_connector_goes_with_it():
    first = connector(combinations({"12 AWG": 2}))
    fill(first, joint("2 x 12 AWG"))
    known = weakref.ref(judge_of(first))
    assert known() is judge_of(first)
    del first
    gc.collect()
    assert known() is None
