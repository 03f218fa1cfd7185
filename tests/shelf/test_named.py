"""A catalogue by its name or its file."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.faults import Faults
from splicewright.shelf import named
from splicewright.shelf.named import catalogue_named
from tests.catalogue.making import catalogue, listing
from tests.shelf.files import written


def test_name_is_that_of_a_shipped_catalogue() -> None:
    assert catalogue_named("shop").name == "shop"


def test_file_may_be_called_otherwise_than_its_catalogue(tmp_path: Path) -> None:
    assert catalogue_named(written(tmp_path, "other.yaml", catalogue(listing()))).name == "trial"


def test_name_is_looked_for_in_a_folder(tmp_path: Path) -> None:
    written(tmp_path, "trial.yaml", catalogue(listing()))
    assert catalogue_named("trial", tmp_path).name == "trial"


@pytest.mark.parametrize(("given", "says"), [("shp", "did you mean 'shop'"), ("./nowhere.yaml", "can't be read")])
def test_what_is_not_there_is_told(given: str, says: str) -> None:
    with pytest.raises(Faults, match=says):
        catalogue_named(given)


def test_file_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(named, "LARGEST", 10)
    with pytest.raises(Faults, match="larger than 10 bytes"):
        catalogue_named(written(tmp_path, "trial.yaml", catalogue(listing())))
