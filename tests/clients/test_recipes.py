"""The page on integration: each recipe runs as it stands there, and does what the page says of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import orjson
import pytest

from tests.api.serving import Server, ask
from tests.clients.making import only_where_wanted
from tests.clients.recipes import CURL, FIRST, PYTHON, TYPESCRIPT, asking_for_keys, block, follow, lay_out

pytestmark = [only_where_wanted, pytest.mark.slow]
FINE = {
    "joints": [
        {
            "joint": {"conductors": [{"size": "14 AWG", "count": 3, "insulation": "THHN"}]},
            "circuit": {"amps": 8, "overcurrent_amps": 15, "continuous": False},
            "place": {"room": True, "current_carrying": 3},
        }
    ]
}


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, str]]:
    """Give the address of a server that asks for keys, and a key."""
    with asking_for_keys(tmp_path_factory.mktemp("keys")) as found:
        yield found


@pytest.mark.parametrize(("heading", "status"), [(FIRST, 0), (PYTHON, 1), (TYPESCRIPT, 0), (CURL, 1)])
def test_recipe_prints_what_the_page_shows(heading: str, status: int, guarded: tuple[str, str], tmp_path: Path) -> None:
    lay_out(heading, tmp_path)
    ended = follow(heading, tmp_path, *guarded)
    assert ended.printed == block(heading, "text"), ended.complained
    assert ended.status == status


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Give a folder with the CI recipe, a job that can be made, and a batch that can."""
    lay_out(CURL, tmp_path)
    (tmp_path / "job.json").write_bytes(orjson.dumps(FINE))
    lines = block(CURL, "ndjson").splitlines(keepends=True)
    (tmp_path / "questions.ndjson").write_text(lines[0].replace('"buried"', '"damp"'))
    return tmp_path


def test_ci_job_passes_where_all_can_be_made(job: Path, address: str) -> None:
    ended = follow(CURL, job, address, key="")
    assert (ended.status, ended.printed, ended.complained) == (0, "", "")


def test_ci_job_fails_where_one_line_of_the_batch_can_not_be_made(job: Path, address: str) -> None:
    (job / "questions.ndjson").write_text(block(CURL, "ndjson").splitlines(keepends=True)[2])
    ended = follow(CURL, job, address, key="")
    assert (ended.status, ended.printed) == (1, "drop: refer\n")


def test_ci_job_fails_where_one_line_of_the_batch_is_no_question(job: Path, address: str) -> None:
    (job / "questions.ndjson").write_text("{\n")
    ended = follow(CURL, job, address, key="")
    assert ended.status == 1
    assert ended.printed.startswith("line 1: : not JSON")


def test_ci_job_says_what_is_wrong_with_a_job_that_is_refused_whole(job: Path, address: str) -> None:
    (job / "job.json").write_bytes(orjson.dumps({**FINE, "stok": {}}))
    ended = follow(CURL, job, address, key="")
    assert ended.status == 2
    assert "/stok: unknown key; did you mean 'stock'?" in ended.complained


def test_ci_job_is_not_taken_in_without_a_good_key(job: Path, guarded: tuple[str, str]) -> None:
    ended = follow(CURL, job, guarded[0], key="a-wrong-one")
    assert ended.status == 2
    assert "this key is not known" in ended.complained


def test_field_app_tells_what_was_not_judged_options_a_bar_and_a_pointer() -> None:
    printed = block(TYPESCRIPT, "text")
    assert re.search(r"\noptions\n(?:  not judged: .+\n)+  1\. ", printed)
    assert "\nbarred\n" in printed
    assert "\nat /joint/conductors/0/size: " in printed


def test_brief_answer_is_as_short_as_the_page_says(server: Server) -> None:
    body = orjson.dumps({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})
    plain = ask(server.port, "POST", "/v1/choices?explain=brief", body)
    packed = ask(server.port, "POST", "/v1/choices?explain=brief", body, Accept_Encoding="gzip")
    assert len(plain.body) < 2_000
    assert len(packed.body) < 1_000
