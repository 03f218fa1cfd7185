"""Connectors and what their listings say; whether a joint's conductors are among what one is listed for."""

from splicewright.catalogue.connector_index import fill, meets
from splicewright.catalogue.fill import NEAREST_FIRST, OVER_FILLED, Fill
from splicewright.catalogue.loader import catalogue_names, catalogue_of, load_catalogue, parse_catalogue, read_catalogue
from splicewright.catalogue.model import Catalogue, Combination, Connector
from splicewright.catalogue.takes import Figure, Metal, Port, Range, Take

__all__ = [
    "NEAREST_FIRST",
    "OVER_FILLED",
    "Catalogue",
    "Combination",
    "Connector",
    "Figure",
    "Fill",
    "Metal",
    "Port",
    "Range",
    "Take",
    "catalogue_names",
    "catalogue_of",
    "fill",
    "load_catalogue",
    "meets",
    "parse_catalogue",
    "read_catalogue",
]
