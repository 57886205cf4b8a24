"""What every test shares: where things lie in the repository, and patience with slow machines."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# A slow or busy machine is no fault of the code under test. The examples are the same in every run, so that a
# change is judged by what it changed; HALFSPLIT_EXAMPLES=new looks for others.
settings.register_profile(
    "halfsplit",
    deadline=None,
    derandomize=os.environ.get("HALFSPLIT_EXAMPLES") != "new",
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("halfsplit")

# What builds keep is signed with a key of the user; tests have one of their own and leave none behind.
_CACHE = tempfile.mkdtemp(prefix="halfsplit-tests-")
os.environ["XDG_CACHE_HOME"] = _CACHE
atexit.register(shutil.rmtree, _CACHE, ignore_errors=True)


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
