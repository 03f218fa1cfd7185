"""Questions from Parquet files, and answers into them: one row a question, one row an answer, in the same order.

Questions stand in a column `question` as JSON text, with or without a column `id`, or in columns named like the parts
of a question (`id`, `joint`, `place`, …), nested or as JSON text; what is null there was not stated.
"""

from __future__ import annotations

import errno
import itertools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

import orjson
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq

from splicewright.json_pointer import join
from splicewright.json_text import read_json
from splicewright.question.schema import QuestionSchema
from splicewright.refusals import NotText, Problem, Refused, not_allowed
from splicewright.sheets.parquet_extent import RowGroup, row_groups
from splicewright.whole_file import WholeFile

LONGEST = 1_000_000  # bytes of a question; of a longer one no more is made than tells that it is
MOST_OF_COLUMN = 1_000_000_000  # bytes, unpacked, in one row group
MOST_VALUES = 20_000_000  # of a column, in one row group
_ROWS, _VALUES = 2_000, 1_000_000  # decoded at once
_AT_ONCE = 4_000_000  # bytes that are written as Python objects at once
_PLAIN = 24  # bytes that a number, a day or a sign takes as text, about
_TEXT, _ID = "question", "id"
_LINE = orjson.OPT_APPEND_NEWLINE
_TEXTS = (pa.types.is_string, pa.types.is_large_string, pa.types.is_binary, pa.types.is_large_binary)
_NO_UTF_8 = b'"\xff"'  # told as such
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
T = TypeVar("T")


class Questions:
    """The questions of a Parquet file as a stream of lines. Raises `OSError`, `Refused` for what it can't have.

    Texts stay in their dictionaries until a line is written, so that a long one which rows share takes its place once.
    """

    def __init__(self, path: Path) -> None:
        self._name = str(path)
        try:
            metadata = pq.read_metadata(path)
            texts = [
                column.path
                for column in map(metadata.schema.column, range(metadata.num_columns))
                if column.physical_type == "BYTE_ARRAY"
            ]
            self._file = pq.ParquetFile(path, metadata=metadata, read_dictionary=texts)
            names = self._file.schema_arrow.names
            groups = row_groups(path)
        except (pa.ArrowException, ValueError) as error:
            raise Refused([Problem("", f"is no Parquet file: {str(error)[:200]}")]) from None
        self.rows: int = metadata.num_rows
        if wrong := [*_unknown(names), *_too_large(groups)]:
            raise Refused(wrong)
        self._lines = self._read(groups)
        self._rest = b""

    def _read(self, groups: list[RowGroup]) -> Iterator[bytes]:
        lines = _text_lines if _are_texts(self._file.schema_arrow.names) else _part_lines
        for at, group in enumerate(groups):
            rows = max(1, min(_ROWS, _VALUES * group.rows // max(group.values, 1)))
            try:
                for batch in self._file.iter_batches(rows, row_groups=[at]):
                    yield from lines(batch)
            except (pa.ArrowException, OSError) as error:
                raise OSError(errno.EIO, f"is damaged: {str(error)[:200]}", self._name) from None

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


def _unknown(names: list[str]) -> Iterator[Problem]:
    parts = QuestionSchema().fields
    for name in dict.fromkeys(names):
        if names.count(name) > 1:
            yield Problem(join("", name), "the column stands twice")
        elif not _are_texts(names) and name not in parts:
            yield Problem(join("", name), not_allowed(name, [_TEXT, *parts]))


def _are_texts(names: list[str]) -> bool:
    return _TEXT in names and {*names} <= {_TEXT, _ID}


def _too_large(groups: list[RowGroup]) -> Iterator[Problem]:
    """Tell what the file itself says to be more than is read."""
    for group in groups:
        if group.bytes > MOST_OF_COLUMN:
            yield _too_much(group.bytes_in, f"{MOST_OF_COLUMN:,} bytes")
            return
        if group.values > MOST_VALUES:
            yield _too_much(group.values_in, f"{MOST_VALUES:,} values")
            return


def _too_much(column: str, most: str) -> Problem:
    at = join("", column.partition(".")[0])
    return Problem(at, f"has a row group of more than {most}; write smaller ones")


def _text_lines(batch: pa.RecordBatch) -> Iterator[bytes]:
    column = batch.column(_TEXT)
    if pa.types.is_dictionary(column.type):  # whether it is UTF-8 is told when the line is read
        lines = _shared(column, _line)
    else:  # no text
        lines = (orjson.dumps(value, default=str, option=_LINE) for value in column.to_pylist())
    ids = _ids(batch.column(_ID)) if _ID in batch.schema.names else itertools.repeat(None)
    yield from (line if own is None else _with_id(line, own) for line, own in zip(lines, ids, strict=False))


def _shared(column: pa.Array, made: Callable[[pa.Buffer | None], T]) -> Iterator[T]:
    """Give what is made of each row's text; of one that rows share which follow each other it is made once."""
    _sizes(column)  # raises where an index leads nowhere
    last, found = None, made(None)
    for at in column.indices.to_pylist():
        if at != last:
            last, found = at, made(None if at is None else column.dictionary[at].as_buffer())
        yield found


def _ids(column: pa.Array) -> Iterator[bytes | None]:
    if pa.types.is_dictionary(column.type):
        return _shared(column, _id_text)
    return (None if value is None else orjson.dumps(_id(value), default=str) for value in column.to_pylist())


def _id_text(text: pa.Buffer | None) -> bytes | None:
    try:
        return None if text is None else orjson.dumps(text.slice(0, min(text.size, LONGEST)).to_pybytes().decode())
    except UnicodeDecodeError:
        return _NO_UTF_8


def _id(value: Any) -> Any:
    """Give a number as the text that an id is."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _with_id(text: bytes, own: bytes) -> bytes:
    """Write the id of a row into its line. Where that has one too its key stands twice, which is told."""
    begin, _, rest = text.partition(b"{")
    if begin.strip():  # no object: told as such
        return text
    return b'{"id":%b%b%b' % (own, b"" if rest.lstrip().startswith(b"}") else b",", rest)


def _line(text: pa.Buffer | None) -> bytes:
    if text is None:
        return b"null\n"
    raw: bytes = text.slice(0, min(text.size, LONGEST + 1)).to_pybytes()
    if b"\n" not in raw:
        return raw + b"\n"
    try:
        return orjson.dumps(read_json(raw), option=_LINE)
    except NotText:
        return raw.replace(b"\n", b"\0") + b"\n"  # stays what it is: no JSON


def _part_lines(batch: pa.RecordBatch) -> Iterator[bytes]:
    """Write rows in runs that are not too large to be made Python objects of at once."""
    sizes = _sizes(batch.to_struct_array()).to_pylist()
    begin = 0
    while begin < len(sizes):
        end, size = begin + 1, sizes[begin]
        while end < len(sizes) and size + sizes[end] <= _AT_ONCE:
            size += sizes[end]
            end += 1
        if size > LONGEST and end == begin + 1:
            yield b" " * (LONGEST + 1) + b"\n"  # told as too long
        else:
            yield from _rows(batch.slice(begin, end - begin))
        begin = end


def _rows(batch: pa.RecordBatch) -> Iterator[bytes]:
    try:
        rows = batch.to_pylist()
    except UnicodeDecodeError:
        if batch.num_rows == 1:
            yield _NO_UTF_8 + b"\n"
            return
        for at in range(batch.num_rows):
            yield from _rows(batch.slice(at, 1))
        return
    yield from map(_of_parts, rows)


def _sizes(values: pa.Array) -> pa.Array:
    """Give about how many bytes each value takes as text, without making it. Nulls take few."""
    kind = values.type
    if pa.types.is_dictionary(kind):
        found = _sizes(values.dictionary).take(values.indices)
    elif any(is_one(kind) for is_one in _TEXTS):
        found = pc.cast(pc.binary_length(values), pa.int64())
    elif pa.types.is_struct(kind):
        found = pa.array([0] * len(values), pa.int64())
        for inner in values.flatten():
            found = pc.add(found, _sizes(inner))
    elif pa.types.is_list(kind) or pa.types.is_large_list(kind) or pa.types.is_map(kind):
        inside = pa.concat_arrays([pa.array([0], pa.int64()), pc.cumulative_sum(_sizes(_inside(values)))])
        ends = inside.take(values.offsets)
        found = pc.subtract(ends.slice(1), ends.slice(0, len(values)))
    else:
        return pa.array([_PLAIN] * len(values), pa.int64())
    return pc.fill_null(found, _PLAIN)


def _inside(values: pa.Array) -> pa.Array:
    """Give what the lists of an array hold, one after the other, from the beginning of what they share."""
    if pa.types.is_map(values.type):
        return pa.StructArray.from_arrays([values.keys, values.items], ["key", "value"])
    return values.values


def _of_parts(row: dict[str, Any]) -> bytes:
    parts = {name: value for name, value in row.items() if value is not None}
    for name, value in parts.items():
        if name in ("joint", "place", "circuit", "work") and isinstance(value, str):
            try:
                parts[name] = read_json(value.encode())
            except NotText:
                continue  # text where an object must stand: told as such
        elif name == _ID:
            parts[name] = _id(value)
    return orjson.dumps(_stated(parts), default=str, option=_LINE)


def _stated(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _stated(inner) for name, inner in value.items() if inner is not None}
    return [_stated(inner) for inner in value] if isinstance(value, list) else value


class AnswerFile:
    """A Parquet file of answers: id, outcome, the first option's connector and method, errors, the answer as JSON.

    A bad question has its errors and no answer.
    """

    def __init__(self, path: Path) -> None:
        """Begin the file, which must not exist and stands there once it is closed. Raises `OSError`."""
        self.name = str(path)
        self.lines = 0
        self._sink = WholeFile(path, new=True)
        self._file = pq.ParquetWriter(self._sink.stream, _ANSWERS, compression="zstd")

    def write(self, text: bytes, lines: int) -> None:
        """Write one row for each line."""
        rows = [_row(line) for line in text.splitlines()]
        self._file.write_batch(pa.RecordBatch.from_pylist(rows, schema=_ANSWERS))
        self.lines += lines

    def close(self) -> None:
        """Write the file's end, without which it can't be read, and put it in its place."""
        self._file.close()
        self._sink.commit()

    def discard(self) -> None:
        """Leave no file, unless it was closed."""
        self._sink.discard()


def _row(line: bytes) -> dict[str, Any]:
    said = orjson.loads(line)
    if said.get("outcome") == "error":
        return {"id": said.get("id"), "outcome": said["outcome"], "errors": said["errors"]}
    first = said["options"][0] if said["options"] else {}
    return {
        "id": said.get("id"),
        "outcome": said.get("outcome") or said["verdict"],  # of a check
        "connector": first.get("connector"),
        "method": first.get("method"),
        "answer": line.decode(),
    }
