"""The shop that the tests of this folder publish."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.figures import figure_svg
from kb.pages.public import sheet
from kb.shop import Shop
from tests.audience.public_bench import read_public_bench, write_public_bench


@pytest.fixture(scope="session")
def bench_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the shop; a test that changes it makes its own."""
    return write_public_bench(tmp_path_factory.mktemp("bench") / "shop")


@pytest.fixture(autouse=True)
def _draw_each_figure_once(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousand sites with the same figure need not draw it a thousand times."""
    kept = tmp_path_factory.getbasetemp() / "figures"
    monkeypatch.setattr(sheet, "figure_svg", lambda spec: figure_svg(spec, kept))


@pytest.fixture(scope="session")
def bench(bench_folder: Path) -> Shop:
    """The shop itself."""
    return read_public_bench(bench_folder)
