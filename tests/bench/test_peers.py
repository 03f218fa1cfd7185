"""Every peer that is installed derives what the engine derives; where one does not, nothing is timed.

Those that need the `bench` extra are installed with what the tests need.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence

import pytest

from splicewright.question.facts import Facts, facts_of
from splicewright.question.read import read_question
from splicewright.rulebook.model import Effect, Rule
from tests.bench import __main__ as command
from tests.bench import derivation, peers
from tests.bench.peers.levels import levels
from tests.bench.peers.plain_loop import PlainLoop
from tests.bench.peers.this_engine import ThisEngine
from tests.bench.rules import derived_rules
from tests.bench.sizes import SMALLEST
from tests.engine.made import condition, rule
from tests.oracle.plain import Fired
from tests.oracle.questions import random_given, random_question
from tests.oracle.rulebooks import random_rulebook

pytestmark = pytest.mark.slow

each_peer = pytest.mark.parametrize("made", peers.installed(), ids=lambda made: made.name)


def differences(made: type[peers.Peer], rules: Sequence[Rule], asked: Iterable[Facts]) -> list[str]:
    engine, peer = ThisEngine(rules), made(rules)
    found = (peers.difference(peer, facts, engine.fired(engine.ask(facts))) for facts in asked)
    return [says for says in found if says]


@each_peer
def test_peer_agrees_with_the_engine_on_the_shipped_rules(made: type[peers.Peer]) -> None:
    rng = random.Random(4)
    asked = (facts_of(read_question(random_given(rng)).question) for _ in range(200))
    assert differences(made, derived_rules(), asked) == []


@each_peer
@pytest.mark.parametrize("seed", range(4))
def test_peer_agrees_with_the_engine_on_generated_rules(made: type[peers.Peer], seed: int) -> None:
    rng = random.Random(seed)
    rules = [rule for rule in random_rulebook(rng, 40).rules if rule.when and rule.effect.kind != "refuse"]
    assert differences(made, rules, (facts_of(random_question(rng)) for _ in range(50))) == []


@each_peer
def test_peer_that_lacks_a_rule_is_noticed(made: type[peers.Peer]) -> None:
    rng = random.Random(5)
    asked = [facts_of(random_question(rng)) for _ in range(5)]
    engine, rules = ThisEngine(derived_rules()), derived_rules()
    dropped = {rule_id for facts in asked for rule_id, _, _ in engine.fired(engine.ask(facts))}
    peer = made([rule for rule in rules if rule.id not in dropped or rule.effect.concludes])
    assert any(peers.difference(peer, facts, engine.fired(engine.ask(facts))) for facts in asked)


def test_level_comes_after_those_that_it_builds_on() -> None:
    first = rule(rule_id="a/first", concludes=("one", "on"))
    second = rule(condition(one="on"), rule_id="a/second", concludes=("two", "on"))
    third = rule(condition(one="on"), condition(two="on"), rule_id="a/third")
    assert levels([third, first, second]) == [[first], [second], [third]]


def test_rules_that_wait_for_each_other_are_refused() -> None:
    circle = [
        rule(condition(two="on"), rule_id="a/one", concludes=("one", "on")),
        rule(condition(one="on"), rule_id="a/two", concludes=("two", "on")),
    ]
    with pytest.raises(ValueError, match="wait for each other"):
        levels(circle)


class Forgetful(PlainLoop):
    """A peer that misses what the first rule on conductors says."""

    name = "forgetful"

    def fired(self, answer: Iterable[Fired]) -> Iterator[Fired]:
        return (fired for fired in answer if not fired[1])


def test_command_times_nothing_where_a_peer_disagrees(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(peers, "installed", lambda: [Forgetful])
    monkeypatch.setattr(derivation, "paired", lambda *_: pytest.fail("timed"))
    monkeypatch.setattr(command, "QUICK", SMALLEST)
    assert command.main(["--quick", "--only", "derivation"]) == 1
    assert "\na peer disagrees: only forgetful: []; only expected: [(" in capsys.readouterr().out


def test_conclusion_of_a_rule_that_always_holds_would_be_missed_by_peers_and_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    book = random_rulebook(random.Random(1), 1)
    always = rule(rule_id="a/always", concludes=("one", "on"))
    assert always.effect == Effect("conclude", concludes=("one", "on"))
    monkeypatch.setattr("tests.bench.rules.load_rulebook", lambda _: type(book)(book.code, (always,), book.digest))
    with pytest.raises(ValueError, match="which the peers would not know"):
        derived_rules()
