"""A full temporary folder costs the long bodies that need it an answer, which says so, and nothing else."""

from __future__ import annotations

from pathlib import Path

import orjson
import pytest

from tests.api.serving import BODY, Server, ask, choose, serving, stalled
from tests.api.small import change, small_rulesets
from tests.full_disk import small_disk

pytestmark = pytest.mark.slow

NDJSON = "application/x-ndjson"
MANY = 4_000  # long answers: more than the system takes for a client that does not read
ASKED = b'{"joint":{"conductors":[{"size":"12 AWG","count":2}]}}\n' * MANY
HEAD = (
    b"POST /v1/batches?explain=full HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Type: application/x-ndjson\r\n"
)
ASKS = HEAD + b"Content-Length: %d\r\n\r\n" % len(ASKED) + ASKED
LONG = BODY + b"\n" + b" " * 900_000 + b"\n" + b" " * 900_000 + b"\n"


def lines(server: Server, body: bytes) -> tuple[int, bytes, str | None]:
    answer = ask(server.port, "POST", "/v1/batches", body, Content_Type=NDJSON)
    return answer.status, answer.body, answer.headers.get("Retry-After")


def test_body_without_room_is_answered_and_the_service_goes_on(tmp_path: Path) -> None:
    rulesets = small_rulesets(tmp_path / "rulesets")
    with (
        small_disk(tmp_path, "3072k") as disk,
        serving(SPLICEWRIGHT_RULESETS=str(rulesets), TMPDIR=str(disk.folder), **disk.environment) as server,
    ):
        right, before = choose(server.port).body, lines(server, LONG)
        assert before[0] == 200
        disk.settle()  # a body is let go of after its answer was sent
        disk.fill()
        status, body, again = lines(server, LONG)
        assert (status, again) == (503, "10")
        assert orjson.loads(body)["errors"][0]["says"] == "there is no room for the body now; send it again later"
        assert ask(server.port, "POST", "/v1/jobs", [LONG[:1_000_000]] * 2).status == 503  # in chunks
        assert choose(server.port, BODY + b" " * 900_000).body == right
        disk.settle()
        disk.fill()  # an answer of which a part has found room in the folder ends where the rest finds none
        with stalled(server.port, ASKS, 1, small_window=True) as (slow,):
            server.logged("no room for an answer in the temporary folder: No space left on device")
            answer = slow.makefile("rb").read()
        assert answer.count(b'"outcome":"options"') == MANY
        assert answer.endswith(b'"answer_count":4000,"error_count":0}}\n\r\n0\r\n\r\n')
        disk.fill()  # also what was let go of since
        change(rulesets)
        server.process.send_signal(1)
        server.logged("not reloaded, what is in use stays: .*No space left on device")
        assert choose(server.port).body == right
        disk.free()
        assert lines(server, LONG) == before
        assert not server.count("Traceback")
