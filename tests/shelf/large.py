"""A large shelf, and how long it takes to import: `python -m tests.shelf.large 300 20` (connectors, rows of each)."""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from splicewright.shelf.importing import import_shelf
from splicewright.shelf.workbook import csv_files, workbook
from splicewright.shelf.yaml_form import yaml_of

_SIZES = ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG")


def rows(connectors: int, each: int) -> Mapping[str, list[dict[str, Any]]]:
    """Give the rows of so many connectors, each with so many rows of fillings."""
    ids = [f"twist-on-{number}" for number in range(connectors)]
    said = {"method": "twist-on", "volts": "600 V", "degrees": "105 degC", "places": ["dry"], "materials": ["copper"]}
    fillings = []
    for one in ids:
        for number in range(each):
            # Two rows a filling, no two fillings alike.
            of = {"id": one, "filling": str(number // 2), "constructions": ["solid"], "least": 1}
            size = _SIZES[number // 2 % 5 + number % 2]
            fillings.append({**of, "size": size, "least": 1 + number // 10, "most": 1 + number // 10})
    return {"connectors": [{"id": one, **said} for one in ids], "fillings": fillings}


def main(connectors: int, each: int) -> None:
    """Import a workbook, and the same as CSV files, and tell the seconds."""
    given = rows(connectors, each)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "shelf.xlsx").write_bytes(workbook(given))
        (folder / "shelf").mkdir()
        for name, data in csv_files(given).items():
            (folder / "shelf" / name).write_bytes(data)
        for path in (folder / "shelf.xlsx", folder / "shelf"):
            begin = time.perf_counter()
            found = import_shelf(path, "large")
            assert found.catalogue is not None, found.faults[:3]
            text = yaml_of(found.catalogue)
            seconds = time.perf_counter() - begin
            of = f"{found.connectors} connectors, {len(given['fillings']):,} rows"
            print(f"{path.name}: {of}: {seconds:.1f} s, {len(text):,} bytes")
    print(f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB at most")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
