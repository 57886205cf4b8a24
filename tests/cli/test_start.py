"""A new shop folder: it checks clean and builds, and nothing that was there before is touched."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from kb.cli import start as start_module
from kb.cli.schema import KINDS
from kb.cli.start import STARTER
from kb.handbook import handbook_folder
from kb.pages import inspect
from kb.shop import load_shop
from tests.cli.shops import run, started
from tests.cli.test_schema import KIND_OF, complaints

BIN = Path(sys.executable).parent


def content(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


@pytest.mark.parametrize("name", ["shop", "my own shop", "Bänke & Löten №1", "deep/er/shop", "'quoted'"])
def test_a_new_shop_checks_clean_whatever_its_folder_is_called(tmp_path: Path, name: str) -> None:
    shop = started(tmp_path / name)
    result = run("check", str(shop))
    assert (result.exit_code, result.stderr) == (0, "")
    assert [path.name for path in shop.parent.iterdir()] == [shop.name]


def test_a_relative_path_will_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("start", "a shop").exit_code == 0
    monkeypatch.chdir(tmp_path / "a shop")
    assert run("check").exit_code == 0


def test_the_empty_folder_one_stands_in_is_filled_and_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    before = tmp_path.stat().st_ino
    result = run("start", ".")
    assert result.exit_code == 0
    assert "cd " not in result.stdout
    assert tmp_path.stat().st_ino == before
    assert not list(tmp_path.glob(".start-*"))
    assert run("check").exit_code == 0


def test_the_next_commands_can_be_copied_as_they_stand(tmp_path: Path) -> None:
    shop = tmp_path / "my own shop"
    result = run("start", str(shop))
    lines = [line.strip() for line in result.stdout.splitlines()[1:]]
    assert lines == [
        f"cd '{shop}'",
        "halfsplit check",
        "halfsplit serve",
        "halfsplit new model my-first-model",
    ]
    started(tmp_path / "other")
    script = "&&".join(
        [f"cd '{shop}'", f"'{BIN}/halfsplit' check", f"'{BIN}/{lines[3]}".replace(" new", "' new", 1)]
    )
    done = subprocess.run(
        ["sh", "-c", script], capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL
    )
    assert done.returncode == 0, done.stderr
    assert (shop / "models/my-first-model.yml").is_file()


def test_a_folder_with_anything_in_it_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / ".hidden").write_text("mine", encoding="utf-8")
    result = run("start", str(tmp_path))
    assert result.exit_code == 2
    assert result.stderr == f'"{tmp_path}" is not empty; name a new or an empty folder\n'
    assert content(tmp_path) == {".hidden": b"mine"}


def test_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("mine", encoding="utf-8")
    result = run("start", str(tmp_path / "shop"))
    assert (result.exit_code, result.stderr.count("\n")) == (2, 1)
    assert (tmp_path / "shop").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("is_there", [True, False])
def test_what_fails_half_way_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_there: bool
) -> None:
    shop = tmp_path / "shop"
    if is_there:
        shop.mkdir()

    def full(kind: str) -> str:
        raise OSError(28, f"No space left on device for {kind}")

    monkeypatch.setattr(start_module, "schema_text", full)
    result = run("start", str(shop))
    assert result.exit_code == 2
    assert "No space left" in result.stderr
    assert [path.name for path in tmp_path.rglob("*")] == (["shop"] if is_there else [])


def test_a_file_that_comes_into_being_meanwhile_is_not_overwritten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    original = start_module._write_all

    def slow(root: Path, name: str, place: str | None) -> int:
        (tmp_path / "parts").write_text("mine", encoding="utf-8")
        return original(root, name, place)

    monkeypatch.setattr(start_module, "_write_all", slow)
    result = run("start", str(tmp_path))
    assert result.exit_code == 2
    assert content(tmp_path) == {"parts": b"mine"}


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("Lanternfold Bench", "the old ropeworks"),
        ('Bench: "one" # two', "- yard"),
        ("NO", "12"),
        ("{{ name }} {% raw %}", "!!python/object"),
        ("Ünïcode 🔧 Bench", "'"),
    ],
)
def test_name_and_place_are_what_was_typed(tmp_path: Path, name: str, place: str) -> None:
    assert run("start", str(tmp_path / "shop"), "--name", name, "--place", place).exit_code == 0
    shop, problems = load_shop(tmp_path / "shop")
    assert shop, problems
    assert (shop.card.record.name, shop.card.record.place) == (name, place)
    frame = yaml.safe_load((tmp_path / "shop/mkdocs.yml").read_text(encoding="utf-8"))
    assert frame["site_name"] == name


def test_at_a_terminal_it_asks_for_what_was_not_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start_module, "is_terminal", lambda: True)
    result = run("start", str(tmp_path / "shop"), "--name", "Lanternfold Bench", answers="the yard\n")
    assert result.exit_code == 0
    shop, _ = load_shop(tmp_path / "shop")
    assert shop
    assert (shop.card.record.name, shop.card.record.place) == ("Lanternfold Bench", "the yard")
    run("start", str(tmp_path / "other"), answers="\n\n")
    shop, _ = load_shop(tmp_path / "other")
    assert shop
    assert (shop.card.record.name, shop.card.record.place) == (start_module.NAME, None)


def test_the_example_shows_what_the_pages_can_do(tmp_path: Path) -> None:
    shop, problems = load_shop(started(tmp_path / "shop"), handbook_folder())
    assert shop, problems
    assert inspect(shop) == ((), ())
    facts = shop.facts["example-clock-box"]
    assert facts.revisions_for_serial("XCB-0042") == ("a",)
    assert facts.revisions_for_serial("XCB-0201") == ("b",)
    feeds = {block.id: [feed.to for feed in block.feeds] for block in facts.model.blocks}
    assert feeds["tempo-oscillator"] == ["tempo-lamp", "one-shot", "divider"]
    assert facts.model.hazards == ()
    assert all(len(each) for each in (shop.faults, shop.parts, shop.guides, shop.jobs))
    (fault,) = shop.faults.values()
    assert fault.record.values[0].calculation


def test_a_changed_example_value_is_reported_as_a_disagreement(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    fault = shop / "faults/example-short-pulse.yml"
    fault.write_text(fault.read_text(encoding="utf-8").replace("now: 33k", "now: 10k"), encoding="utf-8")
    result = run("check", str(shop))
    assert result.exit_code == 1
    assert result.stderr.startswith("faults/example-short-pulse.yml:")


def test_schemas_lie_beside_the_records_and_every_record_points_at_its_own(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    for kind in KINDS:
        assert (shop / f"schemas/{kind}.json").read_text(encoding="utf-8") == run("schema", kind).stdout
    records = [shop / "shop.yml", *(path for place in KIND_OF for path in (shop / place).glob("*.yml"))]
    assert len(records) == 5
    for path in records:
        comment, _, target = path.read_text(encoding="utf-8").splitlines()[0].partition("$schema=")
        assert comment == "# yaml-language-server: "
        kind = KIND_OF.get(path.parent.name, "shop")
        assert (path.parent / target).resolve() == (shop / f"schemas/{kind}.json").resolve()
        assert complaints(kind, path.read_text(encoding="utf-8")) == []


def test_git_takes_the_records_and_leaves_what_is_made(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    assert (shop / ".gitignore").read_text(encoding="utf-8").split("\n")[1:] == ["/site/", "/.halfsplit/", ""]
    assert "Disallow: /" in (shop / "as-is/robots.txt").read_text(encoding="utf-8")
    assert all(path.stat().st_size for path in STARTER.rglob("*") if path.is_file())


@pytest.mark.slow
def test_the_site_builds_by_our_command_and_by_plain_mkdocs(tmp_path: Path) -> None:
    shop = started(tmp_path / "mein Lädchen")
    for command in ([BIN / "halfsplit", "build", "--strict"], [BIN / "mkdocs", "build", "--strict"]):
        done = subprocess.run(command, cwd=shop, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr
        site = content(shop / "site")
        page = site["models/example-clock-box.html"].decode()
        assert "Example clock box" in page
        assert "Mains voltage can kill" in page
        assert b"Disallow: /" in site["robots.txt"]
        assert not [name for name in site if name.endswith((".yml", "_about.txt")) or "schemas" in name]
        # What the build left behind is no problem of the records.
        assert run("check", str(shop)).exit_code == 0
