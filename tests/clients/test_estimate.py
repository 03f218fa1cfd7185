"""The estimate of `openapi/examples/estimate`: priced lines with reasons, whether the server is busy or not."""

from __future__ import annotations

import copy
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import orjson
import pytest
from click.testing import CliRunner

from splicewright import choose, plan_job, shipped
from splicewright.cli.main import main
from tests.api.serving import Server
from tests.clients.busy import busy
from tests.clients.dropping import dropping
from tests.clients.recipes import Ended, asking_for_keys

pytestmark = pytest.mark.slow

FOLDER = shipped.folder("openapi") / "examples" / "estimate"
JOB: dict[str, Any] = orjson.loads((FOLDER / "job.json").read_bytes())
SOON = {"Retry-After": "0"}


def run(address: str, job: Path = FOLDER / "job.json", key: str = "") -> Ended:
    """Run the program as somebody would who has copied it: without this project."""
    ended = subprocess.run(
        [sys.executable, "-I", "-S", "-W", "error", str(FOLDER / "estimate.py"), str(job)],
        env={"PATH": os.environ["PATH"], "SERVER": address, "SERVER_KEY": key},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return Ended(ended.returncode, ended.stdout, ended.stderr)


def altered(folder: Path, change: Any) -> Path:
    """Write the job down with something changed."""
    job = copy.deepcopy(JOB)
    change(job)
    path = folder / "job.json"
    path.write_bytes(orjson.dumps(job))
    return path


def lines(printed: str) -> dict[tuple[str, str, str], list[str]]:
    """Give what stands under each line of an estimate, by its count, name and connector."""
    found: dict[tuple[str, str, str], list[str]] = {}
    under: list[str] = []
    for line in printed.splitlines()[:-1]:
        if line.startswith("     "):
            under.append(line.strip())
        else:
            count, name, connector, _ = line.split()
            under = found[count, name, connector] = []
    return found


@pytest.fixture(scope="module")
def printed(address: str) -> str:
    ended = run(address)
    assert (ended.status, ended.complained) == (0, "")
    return ended.printed


@pytest.fixture(scope="module")
def plan() -> dict[str, Any]:
    return plan_job(JOB)


def test_job_has_thirty_joints_that_can_all_be_made(plan: dict[str, Any]) -> None:
    assert plan["counts"] == {"joints": 30, "made": 30, "problems": 0}


def test_lines_are_those_of_the_plan(printed: str, plan: dict[str, Any]) -> None:
    made = [
        (str(connector["count"]), line["id"], connector["connector"])
        for line in plan["joints"]
        for connector in line["connectors"]
    ]
    assert list(lines(printed)) == made


def test_prices_add_up_to_what_is_bought(printed: str, plan: dict[str, Any]) -> None:
    prices = [float(line.split()[-1]) for line in printed.splitlines()[:-1] if not line.startswith("     ")]
    assert sum(prices) == pytest.approx(plan["cost"], abs=0.005 * len(prices))
    assert printed.splitlines()[-1] == f"30 of 30 joints can be made, for {plan['cost']:.2f}"


def test_each_line_has_the_reasons_of_its_own_answer(printed: str, plan: dict[str, Any]) -> None:
    told = lines(printed)
    for line, joint in zip(plan["joints"], JOB["joints"], strict=True):
        laid = {part: JOB["defaults"].get(part, {}) | joint.get(part, {}) for part in ("place", "circuit")}
        asked = {"code": JOB["code"], "joint": joint["joint"], **laid}
        answer = choose(asked)
        assert choose({**asked, "explain": "brief"})["answer"] == line["answer"]
        minded = [f"mind: {caution['says']}" for caution in answer["cautions"] if caution["kind"] == "mind"]
        unjudged = [one["concern"] for one in answer["judged"] if "why" in one]
        for (_, name, _), under in told.items():
            if name == joint["id"]:
                assert any(one.startswith("because: ") for one in under)
                assert [one for one in under if one.startswith("mind: ")] == minded
                assert [one.split()[2].rstrip(";") for one in under if one.startswith("not judged: ")] == unjudged


def test_word_to_state_is_named(printed: str) -> None:
    assert "; state /place/depth, or see " in printed


def test_key_is_sent(tmp_path: Path, printed: str) -> None:
    with asking_for_keys(tmp_path) as (address, key):
        assert run(address, key=key).printed == printed
        refused = run(address)
    assert (refused.status, refused.printed) == (2, "")
    assert "send a key" in refused.complained


# --- a server that is busy, or cut off ------------------------------------------------------


@pytest.mark.parametrize("status", [503, 429])
def test_busy_server_is_asked_again(status: int, server: Server, printed: str) -> None:
    with busy(server.port, 1, status, SOON) as seen:
        ended = run(seen.address)
    assert (ended.status, ended.printed) == (0, printed)
    assert seen.asked == ["/v1/jobs", "/v1/jobs", "/v1/batches"]


def test_server_that_stays_busy_is_given_up_with_its_sentence(server: Server) -> None:
    body = orjson.dumps({"errors": [{"pointer": "", "says": "so many are asked already"}]})
    with busy(server.port, 100, 503, {**SOON, "Content-Type": "application/problem+json"}, body) as seen:
        ended = run(seen.address)
    assert (ended.status, ended.printed) == (2, "")
    assert ended.complained == "so many are asked already\n"
    assert len(seen.asked) == 4


def test_what_is_no_problem_document_is_told_too(server: Server) -> None:
    with busy(server.port, 100, 502, {"Content-Type": "text/html"}, b"<html>") as seen:
        ended = run(seen.address)
    assert ended.status == 2
    assert "no answer from the server: <HTTPError 502" in ended.complained
    assert len(seen.asked) == 1


@pytest.mark.parametrize("cut", [0, 300], ids=["no answer", "half an answer"])
def test_dropped_connection_is_tried_again(cut: int, server: Server, printed: str) -> None:
    with dropping(server.port, (cut,)) as port:
        ended = run(f"http://127.0.0.1:{port}")
    assert (ended.status, ended.printed) == (0, printed)


# --- a bad job ------------------------------------------------------------------------------


def test_job_that_is_refused_whole_is_told_by_pointer_and_sentence(address: str, tmp_path: Path) -> None:
    ended = run(address, altered(tmp_path, lambda job: job["stock"].update(spare_percent=-1)))
    assert (ended.status, ended.printed) == (2, "")
    assert ended.complained.startswith("/stock/spare_percent: ")


def test_joint_that_is_wrong_or_barred_is_told_and_the_others_priced(address: str, tmp_path: Path) -> None:
    def spoil(job: Any) -> None:
        job["joints"][0]["joint"]["conductors"][0]["size"] = "12"
        job["joints"][1]["place"] = {"reach": "concealed"}

    ended = run(address, altered(tmp_path, spoil))
    first = ended.printed.splitlines()
    assert ended.status == 1
    assert first[:3] == [
        "receptacle-hots: error",
        "     /joints/0/joint/conductors/0/size: '12' has no unit; write '12 AWG' or '12 mm2'",
        "receptacle-neutrals: barred",
    ]
    assert first[3].startswith("     because: ")
    assert first[-1].startswith("22 of 30 joints can be made, for ")


# --- the same job in CI ---------------------------------------------------------------------


def test_check_in_ci_passes_on_the_same_job() -> None:
    checked = CliRunner().invoke(main, ["check", str(FOLDER)])
    assert checked.exit_code == 0, checked.output
    assert f"{len(JOB['joints'])} entries: 0 errors" in checked.output


def test_check_in_ci_fails_on_a_bad_joint(tmp_path: Path) -> None:
    path = altered(tmp_path, lambda job: job["joints"][0].update(place={"reach": "concealed"}))
    assert CliRunner().invoke(main, ["check", str(path)]).exit_code == 1
