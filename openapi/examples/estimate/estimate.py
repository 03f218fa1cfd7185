"""Price the joints of a job: what each line takes, at what price, and why; what was not judged; what to mind.

    SERVER=http://127.0.0.1:8000 python3 estimate.py job.json        (SERVER_KEY too, where the server asks for a key)

Ends with 0 where every joint can be made, with 1 where one can't, with 2 where the server refuses the job or is away.
"""

import http.client
import json
import os
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

#: What an answer is to have beside the least: the articles of what was not judged, what to mind, and why an option.
TOLD = ["judged", "cautions", "preferred"]


def post(path: str, body: object) -> Any:
    """Ask once."""
    headers = {"Content-Type": "application/json"}
    if key := os.environ.get("SERVER_KEY"):
        headers["Authorization"] = f"Bearer {key}"
    asked = urllib.request.Request(os.environ["SERVER"] + path, json.dumps(body).encode(), headers)
    with urllib.request.urlopen(asked, timeout=60) as answered:
        return json.load(answered)


def ask(path: str, body: object) -> Any:
    """Ask, and again where the server is busy or the connection breaks off: a question changes nothing there."""
    for wait in (0, 2, 10):  # seconds, where the server names none
        try:
            return post(path, body)
        except urllib.error.HTTPError as error:
            if error.code not in (429, 503):
                raise
            time.sleep(min(int(error.headers.get("Retry-After", wait)), 60))
        except (OSError, http.client.HTTPException):
            time.sleep(wait)
    return post(path, body)


def told(error: Exception) -> list[str]:
    """Give the sentences of a problem document, each behind the part of the body that it is about."""
    if isinstance(error, urllib.error.HTTPError) and error.headers.get_content_type() == "application/problem+json":
        return [f"{one['pointer']}: {one['says']}".removeprefix(": ") for one in json.load(error)["errors"]]
    return [f"no answer from the server: {error!r}"]


def question(job: dict[str, Any], joint: dict[str, Any]) -> dict[str, Any]:
    """Give a joint of the job as a question of its own, to be answered with the reasons."""
    laid = {part: job.get("defaults", {}).get(part, {}) | joint.get(part, {}) for part in ("place", "circuit", "work")}
    return {"code": job["code"], "joint": joint["joint"], **laid, "limit": 100, "include": TOLD}


def reasons(made: dict[str, Any], answer: dict[str, Any]) -> Iterator[str]:
    """Give why a line takes this connector, what was not judged of the joint, and what to mind."""
    (option,) = (one for one in answer["options"] if one["connector"] == made["connector"])
    yield f"choice {made['rank']} of {answer['counts']['options']}, by the stock plan; fill {made['fill']['basis']}"
    yield from (f"because: {one['says']}" for one in option["preferred"][:2])
    for one in answer["judged"]:
        if "why" in one:
            state = f"state {one['asks']}, or " if "asks" in one else ""
            yield f"not judged: {one['concern']}; {state}see {one['article']}"
    yield from (f"mind: {one['says']}" for one in answer["cautions"] if one["kind"] == "mind")


def estimate(job: dict[str, Any]) -> int:
    """Print the estimate, what can't be made first. Gives the exit status."""
    plan = ask("/v1/jobs", job)
    for problem in plan["problems"]:
        print(f"{problem.get('id', problem['pointer'])}: {problem['outcome']}")
        for one in problem.get("errors", problem.get("because", ())):
            print(f"     {one.get('pointer', 'because')}: {one['says']}")
    price = {one["connector"]: one["cost"] / one["count"] for one in plan["takeoff"]}  # with spares, in whole packs
    lines = [one for one in zip(plan["joints"], job["joints"], strict=True) if one[0]["outcome"] == "options"]
    answers = ask("/v1/batches", [question(job, joint) for _, joint in lines]) if lines else []
    for (line, _), answer in zip(lines, answers, strict=True):
        for made in line["connectors"]:
            count, connector = made["count"], made["connector"]
            print(f"{count:4} {line['id']:24} {connector:32} {count * price[connector]:8.2f}")
            print(*(f"     {one}" for one in reasons(made, answer)), sep="\n")
    print(f"{plan['counts']['made']} of {plan['counts']['joints']} joints can be made, for {plan['cost']:.2f}")
    return 1 if plan["problems"] else 0


if __name__ == "__main__":
    given = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    try:
        sys.exit(estimate(given))
    except (OSError, http.client.HTTPException) as error:
        print(*told(error), sep="\n", file=sys.stderr)
        sys.exit(2)
