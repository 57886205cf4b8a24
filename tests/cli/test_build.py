"""`halfsplit build`: a new site takes the place of the old one, or the old one stays as it was."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from kb import adapters
from kb.adapters import BuildFailed
from kb.cli import build as module
from kb.cli import main, placing
from tests.adapters.making import with_handbook
from tests.benches import HANDBOOK, copied


class Quick:
    """An adapter that writes two files; what it is told is kept in `calls`."""

    calls: list[tuple[Path, Path, bool]] = []  # noqa: RUF012 - one for each test, see below

    def build(self, shop: Path, target: Path, *, strict: bool, earlier: Path | None = None) -> None:
        del earlier
        self.calls.append((shop, target, strict))
        assert list(target.iterdir()) == []
        (target / "halfsplit").mkdir()
        (target / "halfsplit" / "site.css").write_text("", encoding="utf-8")
        (target / "index.html").write_text(f"build {len(self.calls)}", encoding="utf-8")


class Failing(Quick):
    """An adapter that writes half of a site and then cannot go on."""

    error: type[BaseException] = BuildFailed

    def build(self, shop: Path, target: Path, *, strict: bool, earlier: Path | None = None) -> None:
        super().build(shop, target, strict=strict, earlier=earlier)
        raise self.error("the disk is full of tape")


@pytest.fixture(autouse=True)
def known_adapters(monkeypatch: pytest.MonkeyPatch) -> None:
    """`quick` and `failing` beside the real ones."""
    Quick.calls = []
    real = adapters.find_adapter
    made = {"quick": Quick, "failing": Failing}
    monkeypatch.setattr(module, "find_adapter", lambda name: made[name]() if name in made else real(name))


def build(*arguments: Path | str, adapter: str = "quick") -> Result:
    return CliRunner().invoke(main, ["build", *map(str, arguments), "--with", adapter])


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "shop").mkdir()
    return tmp_path / "shop"


def test_the_site_goes_into_the_shop_unless_another_place_is_named(shop: Path) -> None:
    found = build(shop)
    assert found.exit_code == 0
    assert found.stdout == f"1 page in {shop / 'site'}; open {shop / 'site' / 'index.html'}\n"
    assert build(shop, "--to", shop.parent / "elsewhere" / "deep").exit_code == 0
    assert (shop.parent / "elsewhere" / "deep" / "index.html").is_file()


def test_a_site_takes_the_place_of_the_one_before(shop: Path) -> None:
    build(shop)
    (shop / "site" / "left-over.html").write_text("", encoding="utf-8")
    build(shop)
    assert (shop / "site" / "index.html").read_text(encoding="utf-8") == "build 2"
    assert not (shop / "site" / "left-over.html").exists()
    assert [path.name for path in shop.iterdir()] == ["site"]


def test_strict_is_passed_on(shop: Path) -> None:
    build(shop)
    build(shop, "--strict")
    assert [strict for _, _, strict in Quick.calls] == [False, True]


@pytest.mark.parametrize("kind", ["folder with files", "file", "site of another make"])
def test_what_was_not_made_here_is_not_touched(shop: Path, kind: str) -> None:
    target = shop.parent / "precious"
    if kind == "file":
        target.write_text("mine", encoding="utf-8")
    else:
        target.mkdir()
        name = "index.html" if kind == "site of another make" else "notes.txt"
        (target / name).write_text("mine", encoding="utf-8")
    found = build(shop, "--to", target)
    assert found.exit_code == 2
    assert "is not a site made by halfsplit" in found.stderr
    kept = [target] if target.is_file() else list(target.iterdir())
    assert [each.read_text(encoding="utf-8") for each in kept] == ["mine"]
    assert Quick.calls == []


def test_the_shop_itself_is_no_place_for_its_site(tmp_path: Path) -> None:
    folder = copied(tmp_path / "shop")
    assert build(folder, "--to", folder).exit_code == 2
    assert (folder / "shop.yml").is_file()


def test_an_empty_folder_may_be_filled(shop: Path) -> None:
    (shop / "site").mkdir()
    assert build(shop).exit_code == 0


@pytest.mark.parametrize(
    ("error", "code"), [(BuildFailed, 1), (RuntimeError, 1), (KeyboardInterrupt, 130), (OSError, 2)]
)
def test_when_the_build_breaks_off_the_old_site_is_whole_and_nothing_lies_about(
    shop: Path, monkeypatch: pytest.MonkeyPatch, error: type[BaseException], code: int
) -> None:
    build(shop)
    monkeypatch.setattr(Failing, "error", error)
    found = build(shop, adapter="failing")
    assert found.exit_code == code
    assert (shop / "site" / "index.html").read_text(encoding="utf-8") == "build 1"
    assert [path.name for path in shop.iterdir()] == ["site"]


def test_the_first_build_that_breaks_off_leaves_nothing(shop: Path) -> None:
    found = build(shop, adapter="failing")
    assert (found.exit_code, found.stderr) == (1, "the disk is full of tape\n")
    assert list(shop.iterdir()) == []


def test_when_the_new_site_cannot_be_put_in_place_the_old_one_comes_back(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a system that cannot exchange two folders in one step there is a moment between two renames."""
    build(shop)
    monkeypatch.setattr(placing, "_swapped", lambda one, other: False)  # noqa: ARG005
    rename = Path.rename

    def refuse_the_new(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse_the_new)
    found = build(shop)
    assert found.exit_code == 2
    assert "Input/output error" in found.stderr
    assert (shop / "site" / "index.html").read_text(encoding="utf-8") == "build 1"
    assert [path.name for path in shop.iterdir()] == ["site"]


def test_a_place_that_cannot_be_written_is_said(shop: Path) -> None:
    (shop.parent / "file").write_text("", encoding="utf-8")
    found = build(shop, "--to", shop.parent / "file" / "site")
    assert found.exit_code == 2
    assert "nothing can be written beside" in found.stderr


def test_the_folder_one_stands_in_can_hold_the_site(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    here = shop.parent / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    assert build(shop, "--to", ".").exit_code == 0
    assert (here / "index.html").is_file()


def test_an_unknown_adapter_is_told_with_those_there_are(shop: Path) -> None:
    found = build(shop, adapter="mkdosc")
    assert found.exit_code == 2
    assert 'there is no "mkdosc"; known are: mkdocs, plain' in found.stderr


def test_a_folder_that_is_not_there_is_a_mistake_of_the_command(tmp_path: Path) -> None:
    assert build(tmp_path / "none").exit_code == 2
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def short_handbook() -> Iterator[None]:
    """A handbook of two pages, so that a test of places and problems needn't compute the whole one."""
    with with_handbook(HANDBOOK):
        yield


@pytest.mark.slow
@pytest.mark.usefixtures("short_handbook")
@pytest.mark.parametrize("adapter", ["mkdocs", "plain"])
def test_places_may_have_spaces_and_any_letters(tmp_path: Path, adapter: str) -> None:
    folder = copied(tmp_path / "Wérkstatt für Ton & Takt" / "my shop (1)")
    target = tmp_path / "fertige Seiten №2" / "été"
    found = build(folder, "--to", target, adapter=adapter)
    assert found.exit_code == 0, found.stderr
    assert (target / "models" / "pacer.html").is_file()


@pytest.mark.slow
@pytest.mark.usefixtures("short_handbook")
@pytest.mark.parametrize("adapter", ["mkdocs", "plain"])
def test_with_a_problem_in_a_record_the_old_site_stays(tmp_path: Path, adapter: str) -> None:
    folder = copied(tmp_path / "shop")
    assert build(folder, adapter=adapter).exit_code == 0
    old = (folder / "site" / "index.html").stat().st_mtime_ns
    (folder / "parts" / "belt.yml").write_text("name: Belt\ncolour: red\n", encoding="utf-8")
    found = build(folder, adapter=adapter)
    assert found.exit_code == 1
    lines = [line for line in found.stderr.splitlines() if line.startswith("parts/belt.yml:")]
    assert [line.split(": ")[0] for line in lines] == ["parts/belt.yml:1:1", "parts/belt.yml:2:1"]
    assert "Traceback" not in found.stderr
    assert (folder / "site" / "index.html").stat().st_mtime_ns == old


@pytest.mark.slow
@pytest.mark.usefixtures("short_handbook")
def test_a_shop_may_bring_an_mkdocs_file_of_its_own(tmp_path: Path) -> None:
    own = "site_name: x\ndocs_dir: notes\ntheme: {name: material, language: de}\nplugins: [halfsplit]\n"
    folder = copied(tmp_path / "shop", {"mkdocs.yml": own, "notes/private.md": "# nobody\n"})
    assert build(folder, adapter="mkdocs").exit_code == 0
    assert '<html lang="de"' in (folder / "site" / "index.html").read_text(encoding="utf-8")
    assert not (folder / "site" / "private.html").exists()
