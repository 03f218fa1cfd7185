from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.api.serving import Server, serving
from tests.clients import making


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    with serving() as started:
        yield started


@pytest.fixture(scope="session")
def address(server: Server) -> str:
    return f"http://127.0.0.1:{server.port}"


@pytest.fixture(scope="session")
def document(server: Server, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return making.fetch_document(server, tmp_path_factory.mktemp("document"))


@pytest.fixture(scope="session")
def said_by_generator(document: Path) -> Iterator[str]:
    """Make the Python package and let it be imported; give what the generator said of the document."""
    said = making.make_python_client(document)
    sys.path.insert(0, str(document.parent))
    yield said
    sys.path.remove(str(document.parent))
    for name in [module for module in sys.modules if module.split(".")[0] == making.PACKAGE]:
        del sys.modules[name]


@pytest.fixture(scope="session")
def workshop(document: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with the TypeScript compiler and the generated types."""
    folder = tmp_path_factory.mktemp("typescript")
    making.install_node_packages(folder)
    making.make_typescript_types(document, folder)
    return folder
