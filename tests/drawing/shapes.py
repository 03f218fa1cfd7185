"""Drawings read back."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from splicewright.drawing import Drawing


def parsed(drawing: Drawing) -> ET.Element:
    return ET.fromstring(drawing.svg)


def named(root: ET.Element, name: str) -> list[ET.Element]:
    return [one for one in root if one.attrib.get("class") == name]
