"""Sides are asked in turn, each in a process of its own; what they took is told as it was."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tests.bench import __main__ as command
from tests.bench import against, machine
from tests.bench.against import taken_by_all
from tests.bench.pairs import Side, Spread, Taken, WrongPackage, paired
from tests.bench.processes import CHECKOUT
from tests.bench.questions import the_set
from tests.bench.sizes import SMALLEST

pytestmark = pytest.mark.slow


def test_every_side_is_asked_every_question_in_each_run() -> None:
    sides = {"brief": Side("answers", ("brief",)), "facts": Side("facts"), "findings": Side("findings")}
    found = paired(sides, the_set(5), 2)
    assert [len(one.ns) for some in found.values() for one in some] == [5] * 6
    assert all(sum(one.came["outcomes"].values()) == 5 for one in found["brief"])
    assert all(min(one.ns) > 1000 for some in found.values() for one in some)  # nothing is told in a microsecond
    assert found["findings"][0].came["findings"] == found["findings"][1].came["findings"] > 5


def test_sides_begin_by_turns(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(Side, "run", lambda side, _: asked.append(side.module) or Taken([1]))
    paired({"one": Side("one"), "other": Side("other")}, [b"{}"], 3)
    assert asked == ["one", "other", "other", "one", "one", "other"]


def test_another_version_is_answered_by_its_own_package(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("service", "rulesets", "openapi"):
        shutil.copytree(CHECKOUT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    slow = tmp_path / "service" / "splicewright" / "cli" / "main.py"
    slow.write_text(slow.read_text(encoding="utf-8") + "\nimport time\n\ntime.sleep(5)\n", encoding="utf-8")
    monkeypatch.setattr(command, "QUICK", SMALLEST)
    monkeypatch.setattr(against, "installed", lambda checkout, _: checkout)  # nothing is fetched to build it
    assert command.main(["--quick", "--against", str(tmp_path)]) == 0
    rows = [line.strip("|").split("|") for line in capsys.readouterr().out.splitlines() if line.startswith("| ")]
    told = {cells[0].strip(): cells[1:] for cells in rows}
    assert {"cold complete answer, brief", "cold complete answer, full", "cold complete answer, full, there"} <= set(
        told
    )
    assert {"job of 400 joints, rules read anew", "splicewright choose: processor time"} <= set(told)
    here, there = (float(one) for one in told["splicewright choose, process start to end"][:2])
    assert 0 < here < there - 4


def test_questions_that_a_version_does_not_know_are_left_out() -> None:
    known, unknown = the_set(2), b'{"joint":{"conductors":[{"size":"12 AWG","cable":"of-another-version"}]}}'
    assert taken_by_all({"here": CHECKOUT}, (known[0], unknown, known[1])) == list(known)


def test_package_of_another_checkout_is_noticed(tmp_path: Path) -> None:
    (tmp_path / "asked").write_bytes(b"\n".join(the_set(1)))
    with pytest.raises(WrongPackage, match="answered for"):
        Side("answers", ("brief",), tmp_path).run(tmp_path / "asked")


def test_rates_and_quantiles_are_of_the_questions_in_their_order() -> None:
    taken = Taken([1_000_000] * 100 + [2_000_000] * 100 + [4_000_000] * 100 + [50_000_000])
    hundreds = Spread("it", [taken]).cells()[2:5]
    assert hundreds == ("1,000", "500", "250")
    assert taken.seconds(100) == pytest.approx(0.1)
    assert [taken.quantile(share) for share in (0.5, 0.99, 1)] == [2000, 4000, 50_000]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ("'--prefix=/there' '--enable-optimizations' '--with-lto=full'", "with --enable-optimizations .* and with"),
        ("'--prefix=/there' '--with-lto=no'", "without --enable-optimizations .* and without --with-lto"),
        (None, "does not tell"),
    ],
)
def test_how_the_interpreter_was_built_is_told_without_its_folders(arguments: str | None, says: str) -> None:
    told = machine.built(arguments)
    assert re.search(says, told)
    assert "/" not in told
