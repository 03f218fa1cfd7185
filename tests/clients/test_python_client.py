"""A Python client generated from the document: every part it knows by a type of its own, and nothing lost."""

from __future__ import annotations

import importlib
import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest

from splicewright.api.examples import examples
from tests.clients.making import PACKAGE, only_where_wanted

pytestmark = [only_where_wanted, pytest.mark.slow]


class Generated:
    """The generated package and a client of it."""

    def __init__(self, address: str) -> None:
        self.models: Any = importlib.import_module(f"{PACKAGE}.models")
        package = importlib.import_module(PACKAGE)
        self.client = package.Client(base_url=address, raise_on_unexpected_status=True)

    def call(self, tag: str, operation: str, /, **given: Any) -> Any:
        """Call an operation by the name that the generator gave it."""
        return importlib.import_module(f"{PACKAGE}.api.{tag}.{operation}").sync(client=self.client, **given)

    def question(self, count: int = 2, size: str = "12 AWG", **parts: Any) -> Any:
        """Make a question about like conductors."""
        conductors = [self.models.Conductor(size=size, count=count)]
        return self.models.Question(joint=self.models.Joint(conductors=conductors), **parts)

    def choose(self, question: Any, **given: Any) -> Any:
        """Ask about a joint."""
        return self.call("deciding", "choose", body=question, **given)

    def check(self, **proposal: Any) -> Any:
        """Check a splice of two conductors."""
        joint = self.question().joint
        body = self.models.Check(joint=joint, proposal=self.models.Proposal(**proposal))
        return self.call("deciding", "check", body=body)


@pytest.fixture(scope="module")
def made(address: str, said_by_generator: str) -> Iterator[Generated]:  # noqa: ARG001 - it makes the package
    found = Generated(address)
    with found.client:
        yield found


def test_generator_passes_over_nothing_but_the_lines_of_batches(said_by_generator: str) -> None:
    assert "error" not in said_by_generator.lower().split("{")[0]
    assert said_by_generator.count("WARNING") == 1
    assert "WARNING parsing POST /v1/batches" in said_by_generator
    assert "Unsupported content type application/x-ndjson" in said_by_generator


def test_no_type_is_named_by_a_number(made: Generated) -> None:
    # Such a name (`Answer1`, `ChooseResponse200Type0`) tells nobody what it is, and changes with the document.
    # The generator itself numbers a word or a map that stands in a choice without a name of its own: `...Type1`.
    names = [name for name in vars(made.models) if name[0].isupper()]
    assert len(names) > 200
    assert [name for name in names if re.search(r"(?<!Type)\d$", name)] == []


def test_joint_that_may_be_made(made: Generated) -> None:
    answer = made.choose(made.question())
    assert type(answer) is made.models.OptionsAnswer
    assert answer.options[0].rank == 1
    assert answer.options[0].make_up[0].phase is made.models.Phase.MAKE_SAFE


def test_joint_that_may_be_made_told_briefly(made: Generated) -> None:
    answer = made.choose(made.question(), explain=made.models.Explain.BRIEF)
    assert type(answer) is made.models.OptionsAnswer
    assert answer.counts.demands > 0
    assert answer.options[0].name == "Push-in, 2 ports"
    unset = (answer.demands, answer.findings, answer.rules, answer.options[0].make_up)
    assert [type(one).__name__ for one in unset] == ["Unset"] * 4


def test_what_is_included_is_there_beside_the_least(made: Generated) -> None:
    m = made.models
    answer = made.choose(made.question(include=[m.Include.DEMANDS, m.Include.MAKE_UP]))
    assert type(answer) is m.OptionsAnswer
    assert len(answer.demands) == answer.counts.demands
    assert answer.options[0].make_up[0].phase is m.Phase.MAKE_SAFE
    assert type(answer.findings).__name__ == "Unset"


@pytest.mark.parametrize("explain", ["full", "brief"])
def test_hidden_joint_is_barred_and_its_remedy_can_be_asked(made: Generated, explain: str) -> None:
    m = made.models
    place = m.Place(reach=m.Reach.CONCEALED)
    answer = made.choose(made.question(place=place), explain=m.Explain(explain))
    assert type(answer) is m.BarredAnswer
    remedy = answer.remedies[0]
    assert type(remedy) is m.AlterRemedy
    assert [one.to_dict() for one in remedy.patch] == [{"op": "replace", "path": "/place/reach", "value": "accessible"}]
    if explain == "full":
        assert type(made.choose(remedy.question)) is m.OptionsAnswer


@pytest.mark.parametrize("explain", ["full", "brief"])
def test_joint_of_too_many_ends_has_no_connector_and_a_split(made: Generated, explain: str) -> None:
    answer = made.choose(made.question(11, "10 AWG"), explain=made.models.Explain(explain))
    assert type(answer) is made.models.NoConnectorAnswer
    assert type(answer.remedies[0]) is made.models.SplitRemedy
    assert len(answer.remedies[0].joints) == 3


@pytest.mark.parametrize("explain", ["full", "brief"])
def test_service_conductors_are_referred(made: Generated, explain: str) -> None:
    circuit = made.models.Circuit(kind=made.models.CircuitKind.SERVICE)
    answer = made.choose(made.question(circuit=circuit), explain=made.models.Explain(explain))
    assert type(answer) is made.models.ReferAnswer
    assert answer.referrals[0].says


def test_sound_proposal(made: Generated) -> None:
    strip = made.models.Strip(value=13, unit=made.models.StripUnit.MM)
    verdict = made.check(connector="twist-on-medium", strip=strip, pre_twisted=True, tugged=True)
    assert type(verdict) is made.models.SoundCheck
    assert verdict.violations == []


def test_unsound_proposal_says_what_speaks_against_it(made: Generated) -> None:
    strip = made.models.Strip(value=30, unit=made.models.StripUnit.MM)
    verdict = made.check(connector="twist-on-medium", strip=strip, tugged=True)
    assert type(verdict) is made.models.UnsoundCheck
    (violation,) = [one for one in verdict.violations if one.at[0] == "/proposal/strip"]
    compared = violation.compared
    assert type(compared.wanted) is made.models.Quantity


def test_proposal_that_says_little_is_unproven(made: Generated) -> None:
    verdict = made.check(connector="twist-on-medium")
    assert type(verdict) is made.models.UnprovenCheck
    assert {one.asks for one in verdict.unproven} >= {"/proposal/strip", "/proposal/tugged"}


def test_bad_question_gives_a_problem_with_every_pointer(made: Generated) -> None:
    answer = made.choose(made.question(0, "12"))
    assert type(answer) is made.models.Problem
    assert answer.status == 422
    assert [error.pointer for error in answer.errors] == ["/joint/conductors/0/count", "/joint/conductors/0/size"]


def test_box_is_filled_and_its_joint_answered_beside_a_bad_one(made: Generated) -> None:
    m = made.models
    fill = m.BoxFill(
        box=m.Box(name=m.StandardBox.VALUE_4),
        wires=[m.Wire(size="14 AWG", count=6), m.Wire(size="14 AWG", count=3, role=m.Role.EQUIPMENT_GROUNDING)],
        clamps=m.Clamps.INTERNAL,
        joints=[
            m.BoxQuestion(joint=made.question(3, "14 AWG").joint, id="hot"),
            m.BoxQuestion(joint=made.question(3, "14").joint, id="bad"),
        ],
    )
    answer = made.call("deciding", "fill_box", body=fill)
    assert type(answer) is m.BoxFillAnswer
    assert answer.required.in3 == 16  # 314.16(B): 2.00 in3 for each 14 AWG; six wires, all grounds one, clamps one
    assert [type(joint) for joint in answer.joints] == [m.OptionsAnswer, m.BadItem]
    assert (answer.joints[1].outcome, answer.joints[1].pointer) == ("error", "/joints/1")
    assert answer.joints[1].errors[0].pointer == "/joints/1/joint/conductors/0/size"


def test_job_is_planned_and_each_problem_is_of_its_kind(made: Generated) -> None:
    m = made.models
    made_joint = m.JobJoint(id="lights", quantity=6, joint=made.question(3).joint)
    hidden = m.JobJoint(joint=made.question().joint, place=m.LaidPlace(reach=m.Reach.CONCEALED))
    wrong = m.JobJoint(joint=made.question(2, "12").joint)
    job = m.Job(joints=[made_joint, hidden, wrong], stock=m.Stock(carry=["lever-3-port"]))
    answer = made.call("deciding", "plan_job", body=job)
    assert type(answer) is m.JobAnswer
    assert {type(problem) for problem in answer.problems} == {m.BarredProblem, m.ErrorProblem}
    assert [type(joint) for joint in answer.joints] == [m.MadeJoint, m.BarredJoint, m.ErrorProblem]
    assert [(one.connector, one.name, one.count) for one in answer.takeoff] == [("lever-3-port", "Lever, 3 ports", 6)]
    assert answer.stock_plan.types[0].joint_count == answer.stock_plan.counts.made == 6


def test_batch_gives_answers_and_errors_in_order(made: Generated) -> None:
    m = made.models
    answers = made.call("deciding", "batch", body=[made.question(), made.question(2, "12", id="bad")])
    assert [type(answer) for answer in answers] == [m.OptionsAnswer, m.BadItem]
    assert (answers[1].outcome, answers[1].pointer, answers[1].id) == ("error", "/1", "bad")


def test_every_word_of_the_vocabulary_is_one_of_the_types_words(made: Generated) -> None:
    lists = {one.name: one for one in made.call("looking_things_up", "vocabulary").lists}
    for name, kind in {"exposure": "Exposure", "cable": "Cable", "role": "Role", "method": "Method"}.items():
        assert {word.word for word in lists[name].words} == {str(one) for one in getattr(made.models, kind)}
    assert {word.word for word in lists["verdict"].words} == {"sound", "unsound", "unproven"}


def test_rules_and_connectors_that_an_answer_names_can_be_looked_up(made: Generated) -> None:
    answer = made.choose(made.question())
    ruleset, rule = answer.demands[0].rule.split("/")
    shown = made.call("looking_things_up", "show_rule", ruleset=ruleset, rule=rule)
    assert shown.id == answer.demands[0].rule
    catalogue = made.call("looking_things_up", "show_catalogue", name=answer.catalogue.name)
    assert answer.options[0].connector in {connector.id for connector in catalogue.connectors}


def test_what_a_later_server_adds_to_an_answer_is_kept_and_harms_nothing(made: Generated) -> None:
    plain = made.choose(made.question()).to_dict()
    again = made.models.OptionsAnswer.from_dict({**plain, "weather": "fair"})
    assert again["weather"] == "fair"


def test_misspelt_part_is_refused_by_the_types_but_dropped_by_from_dict(made: Generated) -> None:
    # The page warns of it; where the generator mends it, the warning can go.
    with pytest.raises(TypeError, match="colour"):
        made.models.Conductor(size="12 AWG", colour="red")
    assert made.models.Conductor.from_dict({"size": "12 AWG", "colour": "red"}).to_dict() == {"size": "12 AWG"}


def test_address_of_an_answer_is_of_all_that_was_asked_but_its_id(made: Generated) -> None:
    brief = made.models.Explain.BRIEF
    first, again = (made.choose(made.question(id=name), explain=brief) for name in ("one", "two"))
    assert first.answer == again.answer
    others = (made.choose(made.question(limit=1), explain=brief), made.choose(made.question()))
    assert len({first.answer, *(one.answer for one in others), made.choose(made.question(3)).answer}) == 4


@pytest.mark.parametrize(
    ("name", "kind"), [("reload-done", "Reloaded"), ("error-403-scope", "Problem"), ("error-409-not-taken", "Problem")]
)
def test_every_answer_to_a_reload_is_known(made: Generated, name: str, kind: str) -> None:
    (shown,) = [example for example in examples() if example.name == name]
    answered = httpx.MockTransport(lambda _: httpx.Response(shown.status, json=shown.answer))
    package = importlib.import_module(PACKAGE)
    client = package.AuthenticatedClient(
        base_url="http://server",
        token="of-an-operator",
        raise_on_unexpected_status=True,
        httpx_args={"transport": answered},
    )
    answer = importlib.import_module(f"{PACKAGE}.api.running.reload").sync(client=client)
    assert type(answer) is getattr(made.models, kind)
    assert answer.to_dict() == shown.answer
