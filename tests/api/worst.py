"""Looks for good calls that cost the service most, within its default limits: `python -m tests.api.worst --seconds 60`.

For each kind of call a plan of a body is drawn at random, and changed in one place again and again as long as that
costs more: processor time beside 5 s, or the peak of memory beside 300 MB. Each is asked in a process of its own. The
worst plan of each kind is kept in `worst.yaml` (with `--write`), from which a test asks them again.
"""

from __future__ import annotations

import argparse
import json
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Self

import orjson
import yaml

from splicewright.answering import shipped_chooser
from splicewright.question.answer_vocabulary import INCLUDE, JOB_INCLUDE
from splicewright.units import counted
from tests.job.work import PRICES, price
from tests.remedies.patches import sent
from tests.remedies.test_remedy_rendering_budget import overfilled

Plain = dict[str, Any]
Sent = tuple[str, str, str, bytes]  # method, address, type, body
MOST_S, MOST_MB = 5.0, 300
KEPT = Path(__file__).parent / "worst.yaml"
JSON, NDJSON = "application/json", "application/x-ndjson"
_FORKING = """
import json, os, re, sys, time
from pathlib import Path
from splicewright.api.app import create_app

client = create_app().test_client()
client.post("/v1/choices", json={"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})

def asked(method, path, kind, file):
    body = Path(file).read_bytes()
    began, length = time.process_time(), 0
    answer = client.open(path, method=method, data=body, content_type=kind, buffered=False)
    for part in answer.response:
        length += len(part)
    seconds = time.process_time() - began
    peak = int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
    return [answer.status_code, seconds, peak // 1024, length]

for line in sys.stdin:
    pid = os.fork()
    if not pid:
        print(json.dumps(asked(*json.loads(line))), flush=True)
        os._exit(0)
    os.waitpid(pid, 0)
"""


@dataclass(frozen=True)
class Cost:
    """What a call came to: its status, seconds of a processor, the peak of memory in MB, bytes of the answer."""

    status: int
    seconds: float
    megabytes: int
    length: int

    @property
    def share(self) -> float:
        """Which share of what is allowed it took."""
        return max(self.seconds / MOST_S, self.megabytes / MOST_MB)


class Asker:
    """Asks each call in a process of its own, made of one that has read the rules."""

    def __init__(self, process: subprocess.Popen[str], folder: Path) -> None:
        self._process, self._folder = process, folder

    @classmethod
    @contextmanager
    def started(cls) -> Iterator[Self]:
        """Start the process that the others are made of."""
        with (
            tempfile.TemporaryDirectory() as folder,
            subprocess.Popen(
                [sys.executable, "-c", _FORKING], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
            ) as process,
        ):
            yield cls(process, Path(folder))
            assert process.stdin
            process.stdin.close()

    def cost(self, call: Sent) -> Cost:
        """Ask a call, and tell what it came to."""
        assert self._process.stdin
        assert self._process.stdout
        method, path, kind, body = call
        file = self._folder / "body"
        file.write_bytes(body)
        self._process.stdin.write(json.dumps([method, path, kind, str(file)]) + "\n")
        self._process.stdin.flush()
        return Cost(*json.loads(self._process.stdout.readline()))


# --- plans, each of plain values, and what they make -------------------------------------------


def _joint(rng: random.Random) -> Plain:
    return {
        "seed": rng.randrange(1_000_000),
        "style": rng.choice(("any", "many", "many", "few")),
        "kinds": rng.choice((1, 2, 3, 4, 6, 8, 12, 18, 24)),
    }


def _question(plan: Mapping[str, Any], at: int = 0) -> Plain:
    rng = random.Random(f"{plan['seed']} {at}")
    found = sent(rng)
    if plan["style"] == "many":
        found["joint"] = overfilled(rng.randrange(1_000_000), plan["kinds"])
        found["place"] = {"enclosure": "box"}
        found.pop("work", None)
    elif plan["style"] == "few":
        found["joint"] = overfilled(rng.randrange(1_000_000), min(plan["kinds"], 4))
        found["joint"]["conductors"] = [{**one, "count": 1} for one in found["joint"]["conductors"]]
    found.setdefault("circuit", {})["amps"] = rng.randint(1, 150) / 10
    return found


def _told(rng: random.Random) -> list[str]:
    return list(INCLUDE) if rng.random() < 0.5 else rng.sample(list(INCLUDE), rng.randint(0, 3))


def _choice(rng: random.Random) -> Plain:
    return {**_joint(rng), "include": _told(rng), "limit": rng.choice((3, 100)), "blanks": rng.choice((0, 900_000))}


def _ask_choice(plan: Plain) -> Sent:
    body = {**_question(plan), "include": plan["include"], "limit": plan["limit"]}
    return "POST", "/v1/choices?explain=full", JSON, orjson.dumps(body) + b" " * plan["blanks"]


def _check(rng: random.Random) -> Plain:
    return {**_choice(rng), "connector": rng.choice(sorted(one.id for one in _connectors())), "tugged": rng.random()}


def _ask_check(plan: Plain) -> Sent:
    proposal = {"connector": plan["connector"], "tugged": plan["tugged"] < 0.5, "strip": {"value": 11, "unit": "mm"}}
    body = {**_question(plan), "include": plan["include"], "limit": plan["limit"], "proposal": proposal}
    return "POST", "/v1/checks?explain=full", JSON, orjson.dumps(body) + b" " * plan["blanks"]


def _line(rng: random.Random) -> Plain:
    few = rng.choice((1, 5, 20, 200))
    return {**_joint(rng), "include": _told(rng), "lines": few, "listed": rng.random() < 0.5}


def _ask_lines(plan: Plain) -> Sent:
    told = "&include=" + ",".join(plan["include"]) if plan["include"] else ""
    each = [_question(plan, at) for at in range(plan["lines"])]
    if plan["listed"]:
        return "POST", f"/v1/batches?explain=full{told}", JSON, orjson.dumps(each)
    return "POST", f"/v1/batches?explain=full{told}", NDJSON, b"\n".join(map(orjson.dumps, each)) + b"\n"


def _box(rng: random.Random) -> Plain:
    return {
        **_joint(rng),
        "include": _told(rng),
        "wires": rng.choice((1, 50, 200)),
        "joints": rng.choice((0, 10, 50, 100)),
        "devices": rng.choice((0, 50)),
    }


def _contents(plan: Plain, at: int = 0) -> Plain:
    rng = random.Random(f"{plan['seed']} {at} box")
    sizes = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG")
    wires = [{"size": rng.choice(sizes), "count": rng.randint(1, 200)} for _ in range(plan["wires"])]
    parts = ("joint", "circuit")
    asked = [_question(plan, 1000 * at + one) for one in range(plan["joints"])]
    return {
        "wires": wires,
        "devices": [{"gangs": 1 + one % 3, "largest": "12 AWG"} for one in range(plan["devices"])],
        "joints": [{key: one[key] for key in parts if key in one} for one in asked],
    }


def _ask_box(plan: Plain) -> Sent:
    return "POST", "/v1/boxes", JSON, orjson.dumps({**_contents(plan), "explain": "full", "include": plan["include"]})


def _job(rng: random.Random) -> Plain:
    return {
        **_joint(rng),
        "different": rng.choice((10, 100, 500, 1_000, 1_500, 2_000, 2_500)),
        "alike": rng.choice((0, 0, 10_000, 30_000, 49_000)),
        "boxes": rng.choice((0, 0, 10, 100, 500)),
        "wires": rng.choice((1, 20, 200)),
        "joints": rng.choice((0, 1, 5)),
        "devices": 0,
        "split": rng.random() < 0.5,
        "include": list(JOB_INCLUDE) if rng.random() < 0.3 else [],
        "aim": rng.choice((None, "fewest-types", "least-cost")),
        "prices": rng.choice(PRICES),
        "effort": rng.choice((1, 10)),
        "proposed": rng.choice((None, *sorted(one.id for one in _connectors())[:3])),
        "id": rng.choice((0, 1, 90)),
    }


def _ask_job(plan: Plain) -> Sent:
    rng = random.Random(plan["seed"])
    parts = ("joint", "place", "circuit", "work")
    different = [
        {key: value for key, value in _question(plan, at).items() if key in parts} for at in range(plan["different"])
    ]
    joints = [*different, *(rng.choice(different) for _ in range(plan["alike"]))]
    if plan["id"]:
        joints = [{"id": f"{at:0{plan['id']}}", "quantity": 1 + at % 7, **one} for at, one in enumerate(joints)]
    if plan["proposed"]:
        joints = [{**one, "proposal": {"connector": plan["proposed"]}} for one in joints]
    body: Plain = {"joints": joints, "split_overfilled": plan["split"], "include": plan["include"]}
    if plan["boxes"]:
        body["boxes"] = [_contents(plan, 1 + at) for at in range(plan["boxes"])]
    if plan["aim"]:
        prices = {one.id: price(rng, plan["prices"]) for one in _connectors()}
        body["stock"] = {"aim": plan["aim"], "prices": prices, "effort": plan["effort"], "spare_percent": 10}
    return "POST", "/v1/jobs", JSON, orjson.dumps(body)


_LONGEST_ADDRESS = 100_000  # the server takes heads of 262,144 bytes
_LOOKED_UP = (
    "/v1/vocabulary",
    "/v1/vocabulary?list={}",
    "/v1/vocabulary?call=/v1/jobs",
    "/v1/rules",
    "/v1/rules?code=nfpa70-2017",
    "/v1/rules?ruleset={}",
    "/v1/rules/{}/{}",
    "/v1/catalogues/shop",
    "/v1/catalogues/shop?method={}",
    "/v1/catalogues/{}",
    "/v1/catalogues/shop/{}",
    "/",
    "/page/{}",
    "/docs",
    "/docs/{}",
    "/openapi.json",
    "/problems",
    "/problems/{}",
    "/rules",
    "/rules/{}",
    "/metrics",
    "/{}",
    "/v1/choices?include={}",
)


def _look_up(rng: random.Random) -> Plain:
    text = rng.choice(("a", "exposure,", "%2C", "lever", "%C3%A9"))
    return {"path": rng.choice(_LOOKED_UP), "text": text, "length": 2 ** rng.randint(0, 17)}


def _ask_look_up(plan: Plain) -> Sent:
    text = (plan["text"] * plan["length"])[:_LONGEST_ADDRESS]
    return "GET", plan["path"].replace("{}", text), JSON, b""


#: Each kind of call: how a plan of one is drawn, and what it asks.
KINDS: dict[str, tuple[Callable[[random.Random], Plain], Callable[[Plain], Sent]]] = {
    "choice": (_choice, _ask_choice),
    "check": (_check, _ask_check),
    "lines": (_line, _ask_lines),
    "box": (_box, _ask_box),
    "job": (_job, _ask_job),
    "look-up": (_look_up, _ask_look_up),
}


def _connectors() -> tuple[Any, ...]:
    return tuple(shipped_chooser().catalogue("shop").connectors)


# --- looking for the worst ---------------------------------------------------------------------


def search(kind: str, asker: Asker, seconds: float, rng: random.Random, begin: Plain | None) -> tuple[Plain, Cost]:
    """Give the plan that costs most of those that were tried in so much time, and what it costs."""
    draw, ask = KINDS[kind]
    best = begin or draw(rng)
    found = asker.cost(ask(best))
    until, tried = time.monotonic() + seconds, 1
    while time.monotonic() < until:
        drawn = draw(rng)
        changed = set(rng.sample(sorted(drawn), 1 if rng.random() < 0.7 else 2))
        plan = drawn if rng.random() < 0.3 else {key: drawn[key] if key in changed else best[key] for key in drawn}
        cost = asker.cost(ask(plan))
        tried += 1
        if _share(kind, plan, cost) > _share(kind, best, found):
            best, found = plan, cost
    print(f"{kind}: {counted(tried, 'plan')}; {found}")
    return best, found


def _share(kind: str, plan: Plain, cost: Cost) -> float:
    """Give the share that a call took; of a batch each line is allowed as much as a question."""
    lines = plan["lines"] if kind == "lines" else 1
    return max(cost.seconds / lines / MOST_S, cost.megabytes / MOST_MB)


def kept() -> dict[str, Plain]:
    """Give the worst plans that were found, by their kinds."""
    found: dict[str, Plain] = yaml.safe_load(KEPT.read_text())
    return found


def main() -> None:
    """Look for the worst, and tell it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("kinds", nargs="*", choices=[*KINDS, []], default=[])
    parser.add_argument("--seconds", type=float, default=60, help="for each kind")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--write", action="store_true", help="keep what is worse than what was kept")
    given = parser.parse_args()
    worst = kept() if KEPT.exists() else {}
    with Asker.started() as asker:
        for kind in given.kinds or KINDS:
            plan, _ = search(kind, asker, given.seconds, random.Random(given.seed), worst.get(kind))
            worst[kind] = plan
            print(json.dumps(plan))
    if given.write:
        KEPT.write_text(yaml.safe_dump(worst, sort_keys=False))


if __name__ == "__main__":
    main()
