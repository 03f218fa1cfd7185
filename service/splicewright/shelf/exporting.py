"""A catalogue to a workbook or to CSV files: what is written is read again, and must say the same, or nothing is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from splicewright.catalogue import Combination, Connector, Port, catalogue_of
from splicewright.catalogue.takes import Figure
from splicewright.faults import Fault, Faults
from splicewright.shelf.importing import Imported, imported
from splicewright.shelf.listings import listings_of
from splicewright.shelf.rows import rows_of
from splicewright.shelf.tables import Tables, tables_in_files, tables_in_workbook
from splicewright.shelf.workbook import csv_files, workbook

Plain = dict[str, Any]


def exported_workbook(catalogue: Mapping[str, Any], file: str) -> bytes:
    """Write a valid catalogue, given as plain data, as a workbook. Raises `Faults` where a table can't say all of it.

    `file` is what these are told under.
    """
    rows = rows_of(catalogue)
    data = workbook(rows)
    _hold(catalogue, tables_in_workbook(data, "xlsx"), file)
    return data


def exported_files(catalogue: Mapping[str, Any], file: str) -> dict[str, bytes]:
    """Write it as CSV files, by their names. Raises `Faults` likewise."""
    rows = rows_of(catalogue)
    files = csv_files(rows)
    _hold(catalogue, tables_in_files(files), file)
    return files


def _hold(catalogue: Mapping[str, Any], tables: Tables, file: str) -> None:
    """Read again what was written, and refuse what does not say the same. Raises `Faults`."""
    name = catalogue["catalogue"]
    again = imported(listings_of(tables), name, file)
    if again.catalogue is None or again.notes:
        raise Faults(_unlike(again, file))
    ours, its = _said(catalogue), _said(again.catalogue)
    wrong = sorted(one for one in ours.keys() | its.keys() if ours.get(one) != its.get(one))
    says = "says something that a table can't hold as it is, such as a sign that no cell has; change it first"
    if wrong:
        raise Faults([Fault(file, 0, one, says) for one in wrong])
    if _of_all(catalogue) != _of_all(again.catalogue):
        raise Faults([Fault(file, 0, "note", says)])


def _said(catalogue: Mapping[str, Any]) -> dict[str, Any]:
    """Give what each connector says, and under which keys, by its id."""
    keys = {one["id"]: one.keys() - {"from"} for one in catalogue["connectors"]}
    connectors = catalogue_of(dict(catalogue)).connectors
    return {connector.id: (keys[connector.id], meaning(connector)) for connector in connectors}


def _unlike(again: Imported, file: str) -> list[Fault]:
    told = [Fault(file, 0, fault.connector, f"a table can't hold it: {fault}") for fault in again.faults]
    return told or [Fault(file, 0, "", f"a table can't hold it: {note}") for note in again.notes]


def _of_all(catalogue: Mapping[str, Any]) -> Plain:
    """Give what is said of all connectors; where it was read is no part of it."""
    return {key: _single_spaced(one) for key, one in catalogue.items() if key not in ("from", "connectors")}


def meaning(connector: Connector) -> Any:
    """Give what a listing says, however it is put in groups and words."""
    printed = {key: _single_spaced(value) for key, value in connector.to_dict().items() if key != "takes"}
    combinations = [one for take in connector.takes for one in take.combinations]
    return (
        printed,
        sorted(map(_combination, combinations)),
        [(take.least, [_port(port) for port in take.ports]) for take in connector.takes if take.ports],
        sorted(repr(one) for take in connector.takes for one in take.metal),
        sorted(_of_a_port(name, one) for name, listed in connector.figures.items() for one in listed if one.ports),
    )


def _single_spaced(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _single_spaced(one) for key, one in value.items()}
    return " ".join(value.split()) if isinstance(value, str) else value


def _combination(one: Combination) -> tuple[Any, ...]:
    return tuple(sorted((entry.size.area, entry.size.text, entry.count, entry.kinds) for entry in one.entries))


def _port(port: Port) -> tuple[Any, ...]:
    ranges = sorted((one.least.text, one.most.text, one.kinds) for one in port.ranges)
    return port.count, port.conductors, ranges


def _of_a_port(name: str, one: Figure) -> tuple[str, ...]:
    """Give a figure with its ports; the words of their kinds may be put otherwise."""
    ports = one.ports.partition(":")[0]
    return name, ports, str(one.value), str(one.least), str(one.most), *one.materials
