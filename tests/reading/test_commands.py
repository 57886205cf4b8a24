"""`halfsplit check` and `build` tell every problem, end with 1 and touch nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from kb.cli import main
from tests.golden.cases import Case, lay_out, read_cases

CASES = {case.name: case for case in read_cases()}
SOME = [
    "all_files_at_once",
    "limit_without_quotes",
    "not_utf8",
    "card_missing",
    "serials_overlap",
    "link_to_nothing",
]


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False)


def everything_in(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Each file of a folder with its bytes and the time it was written."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A site that was built earlier."""
    site = tmp_path / "site"
    (site / "halfsplit").mkdir(parents=True)
    (site / "halfsplit" / "site.css").write_text("/* the old one */", encoding="utf-8")
    (site / "index.html").write_text("the old one", encoding="utf-8")
    return site


@pytest.mark.parametrize("name", SOME)
def test_check_tells_every_line_and_ends_with_1(name: str, tmp_path: Path) -> None:
    shop = lay_out(CASES[name], tmp_path)
    before = everything_in(shop)
    result = run("check", str(shop))
    assert result.exit_code == 1
    assert result.stdout == ""
    *lines, last = result.stderr.splitlines()
    assert lines == CASES[name].problems
    assert last.endswith("; nothing was written")
    assert everything_in(shop) == before


@pytest.mark.parametrize("adapter", ["plain", "mkdocs"])
@pytest.mark.parametrize("name", SOME[:2])
def test_build_tells_every_line_and_leaves_the_old_site_as_it_is(
    name: str, adapter: str, tmp_path: Path, site: Path
) -> None:
    shop = lay_out(CASES[name], tmp_path)
    before, old = everything_in(shop), everything_in(site)
    result = run("build", str(shop), "--to", str(site), "--with", adapter)
    assert result.exit_code == 1
    for line in CASES[name].problems:
        assert line in result.stderr
    assert everything_in(site) == old
    assert everything_in(shop) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shop", "site"]


def test_build_makes_no_folder_where_there_was_none(tmp_path: Path) -> None:
    shop = lay_out(CASES["all_files_at_once"], tmp_path)
    assert run("build", str(shop), "--to", str(tmp_path / "new" / "site"), "--with", "plain").exit_code == 1
    assert not (tmp_path / "new" / "site").exists()


def test_check_of_a_sound_shop_ends_with_0(tmp_path: Path) -> None:
    sound = lay_out(Case("sound", "", {}, {}, []), tmp_path)
    result = run("check", str(sound))
    assert (result.exit_code, result.stderr) == (0, "")
    assert "no problem" in result.stdout


def test_check_of_no_folder_ends_with_2(tmp_path: Path) -> None:
    assert run("check", str(tmp_path / "nowhere")).exit_code == 2
