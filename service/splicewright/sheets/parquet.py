"""Questions from Parquet files, and answers into them: one row a question, one row an answer, in the same order.

Questions stand in a column `question` as JSON text, or in columns named like the parts of a question (`id`, `joint`,
`place`, …), nested or as JSON text; what is null there was not stated.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import orjson
import pyarrow as pa
import pyarrow.parquet as pq

from splicewright.json_text import read_json
from splicewright.question.schema import QuestionSchema
from splicewright.reading import NotText, Problem, Refused, join, not_allowed

_ROWS = 2_000
_TEXT = "question"
_ANSWERS = pa.schema(
    [
        ("id", pa.string()),
        ("outcome", pa.string()),
        ("connector", pa.string()),
        ("method", pa.string()),
        ("errors", pa.list_(pa.struct([("pointer", pa.string()), ("says", pa.string())]))),
        ("answer", pa.large_string()),
    ]
)


class Questions:
    """The questions of a Parquet file as a stream of lines. Raises `OSError`, `Refused` for columns it can't have."""

    def __init__(self, path: Path) -> None:
        try:
            self._file = pq.ParquetFile(path)
        except pa.ArrowInvalid as error:
            raise Refused([Problem("", f"is no Parquet file: {error}")]) from None
        self.rows: int = self._file.metadata.num_rows
        names = self._file.schema_arrow.names
        parts = QuestionSchema().fields
        if names != [_TEXT]:
            wrong = [Problem(join("", name), not_allowed(name, [_TEXT, *parts])) for name in names if name not in parts]
            if wrong:
                raise Refused(wrong)
        self._lines = self._read(as_text=names == [_TEXT])
        self._rest = b""

    def _read(self, *, as_text: bool) -> Iterator[bytes]:
        for batch in self._file.iter_batches(batch_size=_ROWS):
            for row in batch.to_pylist():
                yield (_line(row[_TEXT]) if as_text else _of_parts(row)) + b"\n"

    def read(self, size: int, /) -> bytes:
        """Give at most `size` bytes of lines; none at the end."""
        while len(self._rest) < size:
            line = next(self._lines, b"")
            if not line:
                break
            self._rest += line
        given, self._rest = self._rest[:size], self._rest[size:]
        return given

    def close(self) -> None:
        """Close the file."""
        self._file.close()

    def readline(self, size: int, /) -> bytes:
        """Give the next line, or the first `size` bytes of it."""
        self._rest = self._rest or next(self._lines, b"")
        cut = min(size, self._rest.find(b"\n") + 1 or len(self._rest))
        given, self._rest = self._rest[:cut], self._rest[cut:]
        return given


def _line(text: Any) -> bytes:
    raw = text.encode() if isinstance(text, str) else text if isinstance(text, bytes) else orjson.dumps(text)
    if b"\n" not in raw:
        return bytes(raw)
    try:
        return orjson.dumps(read_json(raw))
    except NotText:
        return bytes(raw.replace(b"\n", b"\0"))  # stays what it is: no JSON


def _of_parts(row: dict[str, Any]) -> bytes:
    parts = {name: value for name, value in row.items() if value is not None}
    for name, value in parts.items():
        if name in ("joint", "place", "circuit", "work") and isinstance(value, str):
            try:
                parts[name] = read_json(value.encode())
            except NotText:
                continue  # text where an object must stand: told as such
    return orjson.dumps(_stated(parts), default=str)


def _stated(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _stated(inner) for name, inner in value.items() if inner is not None}
    return [_stated(inner) for inner in value] if isinstance(value, list) else value


class AnswerFile:
    """A Parquet file of answers: id, outcome, the first option's connector and method, errors, the answer as JSON.

    A bad question has its errors and no answer.
    """

    def __init__(self, path: Path) -> None:
        """Make the file, which must not exist. Raises `OSError`."""
        self.name = str(path)
        self.lines = 0
        self._sink = path.open("xb")
        self._file = pq.ParquetWriter(self._sink, _ANSWERS, compression="zstd")

    def write(self, text: bytes) -> None:
        """Write one row for each line."""
        rows = [_row(line) for line in text.splitlines()]
        self._file.write_batch(pa.RecordBatch.from_pylist(rows, schema=_ANSWERS))
        self.lines += len(rows)

    def close(self) -> None:
        """Write the file's end, without which it can't be read."""
        self._file.close()
        self._sink.close()


def _row(line: bytes) -> dict[str, Any]:
    said = orjson.loads(line)
    if said.get("outcome") == "error":
        return {"id": said.get("id"), "outcome": said["outcome"], "errors": said["errors"]}
    first = said["options"][0] if said["options"] else {}
    return {
        "id": said.get("id"),
        "outcome": said["outcome"],
        "connector": first.get("connector"),
        "method": first.get("method"),
        "answer": line.decode(),
    }
