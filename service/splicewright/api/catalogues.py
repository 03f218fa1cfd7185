"""GET /v1/catalogues, /v1/catalogues/{name} and /v1/catalogues/{name}/{connector}: connectors with their listings."""

from __future__ import annotations

from typing import Any

from flask import Blueprint
from werkzeug.exceptions import NotFound

from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.catalogues import CatalogueShape, CataloguesShape, ListingShape
from splicewright.catalogue import Catalogue
from splicewright.question import vocabulary as v
from splicewright.refusals import not_allowed
from splicewright.strict_fields import Word, about
from splicewright.strict_schema import Strict

blueprint = Blueprint("catalogues", __name__)


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/catalogues",
        id="listCatalogues",
        tag="Looking things up",
        summary="List the catalogues",
        about="Every catalogue that this server knows.",
        gives={JSON: CataloguesShape},
        cached=True,
    ),
)
def catalogues() -> dict[str, Any]:
    """List catalogues."""
    return {"catalogues": [chooser().catalogue(name).heading() for name in chooser().holding.catalogue_names()]}


class MethodQuery(Strict):
    """Which connectors."""

    method = Word(v.METHODS, metadata=about("Only connectors that join in this way."))


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/catalogues/<name>",
        id="showCatalogue",
        tag="Looking things up",
        summary="Show one catalogue",
        about="Every connector of a catalogue with what its listing says.",
        paths={"name": "Name of the catalogue."},
        query=MethodQuery,
        gives={JSON: CatalogueShape},
        errors=(404,),
        cached=True,
    ),
)
def catalogue(name: str, method: str | None = None) -> dict[str, Any]:
    """Show one catalogue."""
    return _catalogue(name).to_dict(method)


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/catalogues/<name>/<connector>",
        id="showConnector",
        tag="Looking things up",
        summary="Show one connector",
        about="One connector of a catalogue with what its listing says.",
        paths={"name": "Name of the catalogue.", "connector": "Id of the connector."},
        gives={JSON: ListingShape},
        errors=(404,),
        cached=True,
    ),
)
def connector(name: str, connector: str) -> dict[str, Any]:
    """Show one connector."""
    found = _catalogue(name)
    try:
        listing = found.connector(connector).to_dict()
    except KeyError:
        known = [one.id for one in found.connectors]
        raise NotFound(not_allowed(connector, known, "unknown-name").within("no connector: ")) from None
    return {"catalogue": {**found.named(), "digest": found.digest}, "connector": listing}


def _catalogue(name: str) -> Catalogue:
    known = chooser().holding.catalogue_names()
    if name not in known:
        raise NotFound(not_allowed(name, known, "unknown-name").within("no catalogue: "))
    return chooser().catalogue(name)
