"""Rules, measures and connectors that differ between stacks; what only moved is told apart."""

from __future__ import annotations

import pytest

from splicewright.answering import Chooser
from splicewright.faults import Faults
from splicewright.impact.changes import connector_changes, rule_changes
from splicewright.impact.stacks import StackName, read_stack
from splicewright.rulebook.amendment_files import AmendmentText

FIRM = """ruleset: firm
about: How we work.
amends: every-code
rules:
  - id: {id}
    when: [{{place: {{site: outdoors}}}}]
    {does}
    says: {says}
    source: common-practice
    examples: {{fires: [{{place: {{site: outdoors}}}}], silent: [{{}}]}}
"""


@pytest.fixture(scope="module")
def holding():
    return Chooser().holding


def firm(name: str = "firm", *, id: str = "mind", does: str = "caution: true", says: str = "Mind it.") -> AmendmentText:  # noqa: A002
    text = FIRM.format(id=id, does=does, says=says).replace("ruleset: firm", f"ruleset: {name}")
    return AmendmentText(name, f"{name}.yaml", text.encode())


def book(holding, *sent: AmendmentText):
    return read_stack(StackName("nfpa70-2023", tuple(one.name for one in sent)), holding, sent).book


def told(old, new):
    found = rule_changes(old, new)
    return [(one.kind, one.was and one.was.id, one.now and one.now.id) for one in found.changes], [
        (was.id, now.id) for was, now in found.moved
    ]


def test_a_stack_is_as_itself(holding):
    assert told(book(holding), book(holding)) == ([], [])
    assert told(book(holding, firm()), book(holding, firm())) == ([], [])


def test_rules_are_added_and_withdrawn(holding):
    assert told(book(holding), book(holding, firm())) == ([("added", None, "firm/mind")], [])
    assert told(book(holding, firm()), book(holding)) == ([("withdrawn", "firm/mind", None)], [])


@pytest.mark.parametrize(
    ("new", "kind"), [({"says": "Mind it well."}, "reworded"), ({"does": "bar: joint"}, "replaced")]
)
def test_two_versions_of_a_rule_are_one_change(holding, new, kind):
    assert told(book(holding, firm()), book(holding, firm(**new))) == ([(kind, "firm/mind", "firm/mind")], [])


def test_a_rule_under_another_name_has_moved(holding):
    assert told(book(holding, firm()), book(holding, firm(id="heed"))) == ([], [("firm/mind", "firm/heed")])


def test_two_conductors_alike_are_not_one(holding):
    of_two, of_one = (
        one._replace(
            content=one.content.replace(b"when: [", b"when: [" + b"{conductor: {material: aluminum}}, " * many)
        )
        for one, many in ((firm(), 2), (firm(), 1))
    )
    assert told(book(holding, of_two), book(holding, of_one)) == ([("replaced", "firm/mind", "firm/mind")], [])


def test_of_editions_what_moved_is_told_apart_and_what_succeeds_is_one_change(holding):
    changes, moved = told(holding.rulebook("nfpa70-2017"), holding.rulebook("nfpa70-2020"))
    assert ("scope/joint-under-water-in-2017", "scope/joint-under-water") in moved
    assert (
        "replaced",
        "make-up/tighten-once-with-a-calibrated-tool",
        "make-up/tighten-once-by-an-approved-means",
    ) in changes
    assert ("added", None, "bonding/dock-bond-of-solid-copper") in changes


def test_connectors_that_say_something_else_are_changes(holding):
    shop = holding.index("shop").catalogue
    assert list(connector_changes(shop, shop)) == []


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("nfpa70-2021", "the code \"nfpa70-2021\" is not known; did you mean 'nfpa70-2023'?"),
        ("nfpa70-2023+", "is not written CODE[+AMENDMENT…][@CATALOGUE]"),
        ("nfpa70-2023@", "is not written CODE[+AMENDMENT…][@CATALOGUE]"),
        ("nfpa70-2023+hose-rules", "did you mean 'house-rules'?"),
        ("nfpa70-2023+./none.yaml", "./none.yaml: No such file or directory"),
        ("nfpa70-2023@shpo", "did you mean 'shop'?"),
    ],
)
def test_what_is_no_stack_is_told(holding, written, says):
    with pytest.raises(Faults) as raised:
        read_stack(StackName.read(written), holding)
    assert says in str(raised.value)


def test_a_stack_is_read_by_its_parts():
    assert StackName.read("nfpa70-2023+a+./b.yaml@c") == StackName("nfpa70-2023", ("a", "./b.yaml"), "c")
    assert StackName.read("nfpa70-2017") == StackName("nfpa70-2017")
