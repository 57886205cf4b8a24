"""Where things lie in the repository, for every test that needs a real file of it."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def repository() -> Path:
    """The repository's root."""
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def demo_content(repository: Path) -> Path:
    """The demo shop's records; a test that changes them copies them first."""
    return repository / "demo_content"


@pytest.fixture(scope="session")
def handbook(repository: Path) -> Path:
    """The handbook's prose."""
    return repository / "content"
