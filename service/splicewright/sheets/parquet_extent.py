"""How much a Parquet file says it holds, read in a process of its own: some damaged files end the one that looks."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

import orjson

_PATIENCE_S = 60


class RowGroup(NamedTuple):
    """Its rows, and the column with the most values and the one with the most bytes, unpacked."""

    rows: int
    values: int
    values_in: str
    bytes: int
    bytes_in: str


def row_groups(path: Path) -> list[RowGroup]:
    """Give what the file's table of contents says of each row group. Raises ValueError where it can't be read."""
    command = [sys.executable, "-m", "splicewright.sheets.parquet_extent", str(path)]
    try:
        ended = subprocess.run(command, capture_output=True, timeout=_PATIENCE_S, check=True)  # noqa: S603 - ourselves
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired):
        raise ValueError("its table of contents is damaged") from None
    return [RowGroup(*group) for group in orjson.loads(ended.stdout)]


def _largest(metadata: Any, at: int) -> tuple[int, int, str, int, str]:
    group = metadata.row_group(at)
    columns = [(group.column(number), metadata.schema.column(number).path) for number in range(group.num_columns)]
    values = max(((column.num_values, path) for column, path in columns), default=(0, ""))
    size = max(((column.total_uncompressed_size, path) for column, path in columns), default=(0, ""))
    return group.num_rows, *values, *size


def main() -> None:
    """Print what the file named on the command line says: what the process does."""
    import pyarrow.parquet as pq  # noqa: PLC0415 - of no use to the process that asks

    metadata = pq.read_metadata(sys.argv[1])
    sys.stdout.buffer.write(orjson.dumps([_largest(metadata, at) for at in range(metadata.num_row_groups)]))


if __name__ == "__main__":
    main()
