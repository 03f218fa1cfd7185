"""A catalogue by its name or its file."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.answering import Chooser
from splicewright.faults import Faults
from splicewright.shelf import named
from splicewright.shelf.named import catalogue_named
from tests.catalogue.making import catalogue, listing
from tests.project.projects import project
from tests.shelf.files import chooser, written


def test_name_is_that_of_a_shipped_catalogue() -> None:
    assert catalogue_named("shop", chooser().holding).name == "shop"
    assert catalogue_named(None, chooser().holding).name == "shop"


def test_file_may_be_called_otherwise_than_its_catalogue(tmp_path: Path) -> None:
    assert catalogue_named(written(tmp_path, "other.yaml", catalogue(listing())), chooser().holding).name == "trial"


def test_catalogue_of_a_project_stands_for_what_names_none(tmp_path: Path) -> None:
    holding = Chooser(project=project(tmp_path)).holding
    assert catalogue_named(None, holding).name == "our-shelf"
    assert catalogue_named("our-shelf", holding).name == "our-shelf"


def test_one_has_to_be_named_where_none_stands(tmp_path: Path) -> None:
    (tmp_path / "catalogues").mkdir()
    with pytest.raises(Faults, match="--catalogue: no catalogue stands for it"):
        catalogue_named(None, Chooser(tmp_path).holding)


@pytest.mark.parametrize(("given", "says"), [("shp", "did you mean 'shop'"), ("./nowhere.yaml", "can't be read")])
def test_what_is_not_there_is_told(given: str, says: str) -> None:
    with pytest.raises(Faults, match=says):
        catalogue_named(given, chooser().holding)


def test_file_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(named, "LARGEST", 10)
    with pytest.raises(Faults, match="larger than 10 bytes"):
        catalogue_named(written(tmp_path, "trial.yaml", catalogue(listing())), chooser().holding)
