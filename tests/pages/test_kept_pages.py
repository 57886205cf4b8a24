"""A build that takes pages of an earlier one gives the bytes that a build without any gives."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Callable, Iterator
from dataclasses import astuple, replace
from pathlib import Path

import pytest

from kb import store
from kb.pages import PageSet, build_site, inspect, making
from kb.pages.page_desk import made
from kb.pages.reads import Answers
from kb.pages.sheet import Desk
from kb.pages.site import _pages, _tasks
from kb.search import gathering
from kb.search.synonyms import phrases_for
from kb.shop import Shop
from kb.store import PLACE, Store
from tests.benches import built, copied, loaded, small_shop
from tests.spoiling import a_folder_instead, changed_inside, cut_short, emptied, unsigned

NEW_FAULT = """\
title: {title}
models: lull
block: motor
symptoms: {title} again
cause: Nobody knows. See [another](fault:loose-lead).
fix: Wait.
"""


@pytest.fixture(autouse=True)
def a_key_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    store._secret.cache_clear()
    yield
    store._secret.cache_clear()


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Drawn once; no edit of these tests changes a figure."""
    return tmp_path_factory.mktemp("figures")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return copied(tmp_path / "shop")


def with_kept(folder: Path, figures: Path) -> PageSet:
    pages, problems = build_site(loaded(folder), figures, Store(folder))
    assert pages is not None, problems
    return pages


def without(folder: Path, figures: Path) -> PageSet:
    pages, problems = build_site(loaded(folder), figures)
    assert pages is not None, problems
    return pages


def assert_same(one: PageSet, other: PageSet) -> None:
    for first, second in zip(one.pages, other.pages, strict=True):
        assert astuple(first) == astuple(second), first.path
    assert one.assets == other.assets
    assert replace(one, pages=(), assets=()) == replace(other, pages=(), assets=())


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text, file
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def any_line_longer(folder: Path, draw: random.Random) -> None:
    """A word behind some line of text of some record, as long as the record stays sound."""
    files = sorted([*folder.glob("*/*.yml"), *folder.glob("guides/*.md")])
    file = draw.choice(files)
    before = file.read_text(encoding="utf-8")
    lines = before.split("\n")
    for _ in range(20):
        at = draw.randrange(len(lines))
        if not lines[at].strip() or lines[at].rstrip().endswith((":", "|", "---", "]", "}")):
            continue
        file.write_text("\n".join([*lines[:at], f"{lines[at]} more", *lines[at + 1 :]]), encoding="utf-8")
        if sound(folder):
            return
        file.write_text(before, encoding="utf-8")


def any_line_less(folder: Path, draw: random.Random) -> None:
    """Some line of some record taken out, as long as the record stays sound."""
    file = draw.choice(sorted([*folder.glob("*/*.yml")]))
    before = file.read_text(encoding="utf-8")
    lines = before.split("\n")
    for at in draw.sample(range(len(lines)), min(20, len(lines))):
        file.write_text("\n".join([*lines[:at], *lines[at + 1 :]]), encoding="utf-8")
        if lines[at].strip() and sound(folder):
            return
        file.write_text(before, encoding="utf-8")


def a_fault_more(folder: Path, draw: random.Random) -> None:
    title = f"A new one {draw.randrange(1000)}"
    (folder / "faults" / f"new-{draw.randrange(5)}.yml").write_text(NEW_FAULT.format(title=title), "utf-8")


def a_fault_less(folder: Path, draw: random.Random) -> None:
    (folder / "faults" / f"new-{draw.randrange(5)}.yml").unlink(missing_ok=True)


def lines_above(folder: Path, draw: random.Random) -> None:
    """What is told of a record moves down a line."""
    file = draw.choice(sorted(folder.glob("*/*.yml")))
    file.write_text("# seen\n" + file.read_text(encoding="utf-8"), encoding="utf-8")


EDITS: tuple[Callable[[Path, random.Random], None], ...] = (
    any_line_longer, any_line_longer, any_line_longer, any_line_less, a_fault_more, a_fault_less, lines_above,
)  # fmt: skip


def sound(folder: Path) -> bool:
    from kb.shop import load_shop  # noqa: PLC0415
    from tests.benches import HANDBOOK  # noqa: PLC0415

    found, _ = load_shop(folder, HANDBOOK)
    return found is not None and not inspect(found)[0]


@pytest.mark.parametrize("seed", range(4))
def test_after_any_edits_it_is_as_without(shop: Path, figures: Path, seed: int) -> None:
    draw = random.Random(seed)
    with_kept(shop, figures)
    for _ in range(4):
        for _ in range(draw.randrange(1, 3)):
            draw.choice(EDITS)(shop, draw)
        assert_same(with_kept(shop, figures), without(shop, figures))


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("shop.yml", "One Bench", "Another Bench"),
        ("faults/pacer-short-pulse.yml", "title: Pulse", "title: Gate"),
        ("faults/pacer-bleeder-open.yml", "now: 10k", "now: 10.1k"),
        ("models/pacer.yml", "name: Pacer", "name: Pacemaker"),
        ("jobs/2026-pacer-0007.yml", "PA-0007", "PA-0008"),
        ("captures/r7-10k.csv", "0.2,0.1", "0.2,0.11"),
        ("guides/first-look.md", "title: ", "title: Another "),
    ],
)
def test_what_one_edit_reaches_is_made_anew(shop: Path, figures: Path, file: str, old: str, new: str) -> None:
    before = with_kept(shop, figures)
    changed(shop / file, old, new)
    after = with_kept(shop, figures)
    assert_same(after, without(shop, figures))
    if not file.startswith("captures"):
        assert after.pages != before.pages


def test_nothing_is_made_again_when_nothing_changed(
    shop: Path, figures: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = with_kept(shop, figures)
    monkeypatch.setattr(making, "made", None)
    assert_same(with_kept(shop, figures), before)


def test_an_edit_of_one_text_makes_few_pages_again(
    shop: Path, figures: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_kept(shop, figures)
    done = []

    def watched(desk: Desk, task: making.Task, captures: dict[str, object]) -> making.Made:
        done.append(task.name)
        return made(desk, task, captures)  # type: ignore[arg-type]

    monkeypatch.setattr(making, "made", watched)
    changed(shop / "faults/lull-belt-slips.yml", "older than the owner", "as old as the owner")
    with_kept(shop, figures)
    assert "fault lull-belt-slips" in done
    assert not [name for name in done if name.startswith(("model", "part", "guide", "symptoms", "jobs"))]


def test_an_edit_writes_little_and_taking_it_back_writes_nothing(shop: Path, figures: Path) -> None:
    before = with_kept(shop, figures)
    every, since = shop / PLACE / "pages", shop / PLACE / "pages-since"
    kept = every.read_bytes()
    file = shop / "faults/lull-belt-slips.yml"
    text = file.read_bytes()
    changed(file, "older than the owner", "as old as the owner")
    with_kept(shop, figures)
    assert every.read_bytes() == kept
    assert 100 < since.stat().st_size < len(kept) / 4
    file.write_bytes(text)
    written = since.read_bytes()
    assert_same(with_kept(shop, figures), before)
    assert (every.read_bytes(), since.read_bytes()) == (kept, written)


def test_words_of_texts_that_are_as_they_were_are_not_counted_again(
    shop: Path, figures: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = phrases_for(loaded(shop).synonyms).counted
    known.clear()
    with_kept(shop, figures)
    known.clear()
    changed(shop / "faults/lull-belt-slips.yml", "older than the owner", "as old as the owner")
    count, done = gathering._count, []
    monkeypatch.setattr(gathering, "_count", lambda *given: done.append(given[0]) or count(*given))
    with_kept(shop, figures)
    assert 0 < len(done) < 5


@pytest.mark.parametrize(
    ("old", "new", "asked"),
    [
        ("older than the owner", "as old as the owner", set()),
        ("title: ", "title: Another ", {"faults_of"}),
        ("the echo wobbles", "the echo crawls", {"same_symptom_elsewhere"}),
    ],
)
def test_cross_links_are_asked_only_what_may_have_another_answer(
    shop: Path, figures: Path, monkeypatch: pytest.MonkeyPatch, old: str, new: str, asked: set[str]
) -> None:
    with_kept(shop, figures)
    changed(shop / "faults/lull-belt-slips.yml", old, new)
    now = loaded(shop)
    ask, done = Answers._asked, set()
    monkeypatch.setattr(Answers, "_asked", lambda *given: done.add(given[1]) or ask(*given))
    kept = making.kept_pages.load(Store(shop), making.kept_pages.site_key(now), Answers(now, Desk(now).links))
    assert kept.tasks
    assert done == asked


def test_many_edits_write_everything_again(
    shop: Path, figures: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(making.kept_pages, "_MOST_SINCE", 0)
    with_kept(shop, figures)
    kept = (shop / PLACE / "pages").read_bytes()
    changed(shop / "faults/lull-belt-slips.yml", "older than the owner", "as old as the owner")
    after = with_kept(shop, figures)
    assert (shop / PLACE / "pages").read_bytes() != kept
    assert_same(with_kept(shop, figures), after)


def test_a_desk_for_each_page_gives_what_one_desk_gives(figures: Path) -> None:
    one = sorted(_pages(Desk(small_shop(), figures)), key=lambda page: page.path)
    assert [astuple(each) for each in one] == [astuple(each) for each in built(small_shop()).pages]


def test_processes_that_share_the_work_give_what_one_gives(
    figures: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    alone = build_site(small_shop(), figures)[0]
    monkeypatch.setattr(making, "FEWEST_TO_SHARE", 1)
    monkeypatch.setattr(making, "_processors", lambda: 2)
    monkeypatch.setattr(making, "_may_fork", lambda: True)
    assert alone is not None
    shared = build_site(small_shop(), figures)[0]
    assert shared is not None
    assert_same(alone, shared)


def test_no_two_tasks_have_one_name() -> None:
    names = [task.name for task in _tasks(small_shop())]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", ["pages", "pages-since", "words"])
@pytest.mark.parametrize(
    "spoil", [cut_short, changed_inside, emptied, unsigned, a_folder_instead, Path.unlink]
)
def test_what_is_spoilt_is_as_if_it_were_not_there(
    shop: Path, figures: Path, name: str, spoil: Callable[[Path], None]
) -> None:
    before = with_kept(shop, figures)
    spoil(shop / PLACE / name)
    (shop / PLACE / ".beside-killed").write_bytes(b"half of it")
    assert_same(with_kept(shop, figures), before)


@pytest.mark.parametrize("name", ["pages", "pages-since"])
def test_entries_of_two_builds_at_once_may_be_mixed(shop: Path, figures: Path, name: str) -> None:
    with_kept(shop, figures)
    before = (shop / PLACE / name).read_bytes()
    changed(shop / "faults/lull-belt-slips.yml", "older than the owner", "as old as the owner")
    with_kept(shop, figures)
    (shop / PLACE / name).write_bytes(before)
    assert_same(with_kept(shop, figures), without(shop, figures))


def test_another_users_entries_bring_nothing_in(
    shop: Path, figures: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = with_kept(shop, figures)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "another"))
    store._secret.cache_clear()
    shop_now = loaded(shop)
    desk = Desk(shop_now)
    key = making.kept_pages.site_key(shop_now)
    assert making.kept_pages.load(Store(shop), key, Answers(shop_now, desk.links)).tasks == {}
    assert_same(with_kept(shop, figures), before)


def test_another_version_takes_nothing(shop: Path, figures: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = with_kept(shop, figures)
    done = []
    monkeypatch.setattr(making.kept_pages, "code_key", lambda: "another version")
    monkeypatch.setattr(making, "made", lambda *given: done.append(given[1].name) or made(*given))
    assert_same(with_kept(shop, figures), before)
    assert len(done) > 10


@pytest.mark.parametrize("blocked", ["shop", "key"])
def test_where_nothing_can_be_kept_it_is_built_all_the_same(
    shop: Path, figures: Path, tmp_path: Path, blocked: str
) -> None:
    # A file in the place of a folder: that stops everybody, whatever rights they have.
    place = shop / ".halfsplit" if blocked == "shop" else tmp_path / "cache"
    place.write_text("not a folder")
    assert_same(with_kept(shop, figures), without(shop, figures))


def test_problems_are_told_with_kept_pages_as_without(shop: Path, figures: Path) -> None:
    with_kept(shop, figures)
    file = shop / "faults/lull-belt-slips.yml"
    changed(file, "older than the owner", "[gone](fault:loose-lead#nowhere)")
    found = loaded(shop)
    assert inspect(found, Store(shop)) == inspect(found)
    assert inspect(found)[0]
    assert build_site(found, figures, Store(shop)) == build_site(found, figures)


def test_what_disagrees_is_told_of_kept_pages_too(shop: Path, figures: Path) -> None:
    changed(shop / "faults/pacer-short-pulse.yml", "    now: 33k", "    now: 47k")
    before = with_kept(shop, figures)
    assert before.disagreements
    found: Shop = loaded(shop)
    assert inspect(found, Store(shop)) == inspect(found)
    assert_same(with_kept(shop, figures), before)


def test_kept_pages_do_not_pile_up(shop: Path, figures: Path) -> None:
    with_kept(shop, figures)
    left = shop / PLACE / ".beside-old"
    left.write_bytes(b"half of it")
    os.utime(left, (0, 0))
    for number in range(3):
        a_fault_more(shop, random.Random(number))
        with_kept(shop, figures)
    assert {each.name for each in (shop / PLACE).iterdir()} == {"pages", "pages-since", "words"}
    shutil.rmtree(shop)
