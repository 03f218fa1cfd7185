"""How many modules a question crosses on its way to its answer, top to bottom, and how often it changes between them.

python -m tests.crossings            one line for each of the questions below
python -m tests.crossings --modules  with the modules of each, in the order in which they are first entered

Each question is asked cold: its rules and tables were read for another question, and nothing of its own is remembered.
Counted are the calls of Python functions (`sys.setprofile`) that are defined in the package.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import splicewright
from splicewright.answering import Chooser
from splicewright.tables.loader import table, tables_in_use
from splicewright.yaml_text import read_yaml
from tests.scratch import ROOT

_PACKAGE = str(Path(splicewright.__file__).parent)
_EXAMPLES = ROOT / "openapi/examples"
Plain = dict[str, Any]


def example(name: str) -> Plain:
    """Give the question of an example."""
    found: Plain = read_yaml((_EXAMPLES / f"{name}.yaml").read_bytes()).value
    return found


def of(**conductors: Any) -> Plain:
    """Give the question of like conductors."""
    return {"joint": {"conductors": [conductors]}}


#: Questions that have options, and questions that are refused, with what would do instead.
ANSWERED: dict[str, Plain] = {
    "four 14 AWG": of(size="14 AWG", count=4),
    **{name: example(name) for name in ("boathouse-luminaire", "boathouse-old-aluminum", "boathouse-hoist")},
    "boathouse-path-light": example("boathouse-path-light"),
}
REFUSED: dict[str, Plain] = {
    "a bar, and changes": {**of(size="14 AWG", count=3), "place": {"enclosure": "none"}},
    "a split": of(size="12 AWG", count=9),
    "no connector": of(size="750 kcmil", count=7, construction="stranded"),
}


def crossed(work: Callable[[], object]) -> list[str]:
    """Do work, and give the modules of the package that it enters, in their order: one entry each time it changes."""
    found: list[str] = []

    def entered(frame: FrameType, event: str, _: object) -> None:
        file = frame.f_code.co_filename
        if event == "call" and file.startswith(_PACKAGE):
            module = file[len(_PACKAGE) + 1 :]
            if found[-1:] != [module]:
                found.append(module)

    before = sys.getprofile()
    sys.setprofile(entered)
    try:
        work()
    finally:
        sys.setprofile(before)
    return found


def asked_cold(question: Plain) -> list[str]:
    """Give what a question crosses, where another one of its code had rules, tables and the catalogue read."""
    chooser, code = Chooser(), {key: question[key] for key in ("code",) if key in question}
    chooser.choose({**of(size="12 AWG", count=2), **code, "circuit": {"amps": 10, "overcurrent_amps": 20}})
    for name in tables_in_use():
        table(name)
    return crossed(lambda: chooser.choose(question))


def main() -> None:
    """Print what each question crosses."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--modules", action="store_true", help="name the modules")
    named = parser.parse_args().modules
    for name, question in {**ANSWERED, **REFUSED}.items():
        found = asked_cold(question)
        modules = list(dict.fromkeys(found))
        print(f"{len(modules):3} modules {len(found):6} changes  {name}")
        if named:
            print("".join(f"      {module}\n" for module in modules), end="")


if __name__ == "__main__":
    main()
