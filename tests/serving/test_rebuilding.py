"""After an edit there is a new site, or the old one with what is wrong; never half a one."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.adapters import BuildFailed
from kb.serving.rebuilding import Rebuilding
from kb.serving.showing import Showing
from kb.serving.watching import state_of


class OnePage:
    """Copies a record into a page; a record that says `wrong` stops it when half is written."""

    def build(self, shop: Path, target: Path, *, strict: bool, earlier: Path | None = None) -> None:
        del strict, earlier
        (target / "half.html").write_text("half", encoding="utf-8")
        text = (shop / "fault.yml").read_text(encoding="utf-8")
        if text == "wrong":
            raise BuildFailed(
                "2 found\nfault.yml:1:1: one\nfault.yml:2:1: two", ("fault.yml:1:1: one", "two")
            )
        (target / "index.html").write_text(text, encoding="utf-8")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "fault.yml").write_text("first", encoding="utf-8")
    return tmp_path / "shop"


@pytest.fixture
def said() -> list[str]:
    return []


@pytest.fixture
def bench(shop: Path, tmp_path: Path, said: list[str]) -> Rebuilding:
    (tmp_path / "work").mkdir()
    return Rebuilding(shop, OnePage(), Showing(), tmp_path / "work", tell=said.append)


def shown(bench: Rebuilding) -> str:
    assert bench.showing.view.folder is not None
    return (bench.showing.view.folder / "index.html").read_text(encoding="utf-8")


def test_a_failed_build_leaves_the_last_good_site(bench: Rebuilding, shop: Path, said: list[str]) -> None:
    assert bench.build()
    version = bench.showing.view.version
    (shop / "fault.yml").write_text("wrong", encoding="utf-8")
    assert not bench.build()
    assert (shown(bench), bench.showing.view.version) == ("first", version)
    assert bench.showing.view.problems == ("fault.yml:1:1: one", "two")
    assert said[1:3] == ["fault.yml:1:1: one", "two"]
    assert said[3].endswith("2 problems; the last good site stays")
    (shop / "fault.yml").write_text("mended", encoding="utf-8")
    assert bench.build()
    assert (shown(bench), bench.showing.view.problems) == ("mended", ())
    assert bench.showing.view.version != version


def test_a_folder_with_problems_at_the_start_is_no_reason_to_stop(
    bench: Rebuilding, shop: Path, said: list[str]
) -> None:
    (shop / "fault.yml").unlink()
    assert not bench.build()
    assert bench.showing.view.folder is None
    assert bench.showing.view.problems == (f"{shop / 'fault.yml'}: No such file or directory",)
    assert said[-1].endswith("1 problem; there is no site yet")


def test_no_more_than_two_sites_lie_about(bench: Rebuilding) -> None:
    for _ in range(4):
        bench.build()
    assert len(list(bench.work.iterdir())) == 2


def test_another_run_is_another_version() -> None:
    assert Showing().view.version != Showing().view.version


@pytest.mark.parametrize(
    ("edit", "counts"),
    [
        (lambda shop: (shop / "fault.yml").write_text("longer than it was"), True),
        (lambda shop: (shop / "new.yml").touch(), True),
        (lambda shop: (shop / "fault.yml").unlink(), True),
        (lambda shop: (shop / "fault.yml").rename(shop / "renamed.yml"), True),
        (lambda shop: (shop / ".swap").touch(), False),
        (lambda shop: (shop / "fault.yml~").touch(), False),
        (lambda shop: (shop / "site" / "index.html").touch(), False),
        (lambda shop: (shop / ".halfsplit" / "figure.svg").touch(), False),
    ],
)
def test_edits_are_seen_and_what_halfsplit_writes_itself_is_not(shop, edit, counts: bool) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    (shop / "site" / "halfsplit").mkdir(parents=True)
    (shop / "site" / "halfsplit" / "site.css").touch()
    (shop / ".halfsplit").mkdir()
    before = state_of((shop,))
    assert state_of((shop,)) == before
    edit(shop)
    assert (state_of((shop,)) != before) == counts
