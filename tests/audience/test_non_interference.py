"""What customers get does not depend on anything private: not on its words, its number, its being there."""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from kb.audience import may_leave
from kb.cli.main import main
from kb.shop import Shop
from tests.audience.mutating import mutated
from tests.audience.public_bench import files, published, tree, write_public_bench
from tests.benches import demo_shop

ROUNDS = 10
IN_EACH_ROUND = 120
ON_THE_DEMO = 60
SEED = int(os.environ.get("HALFSPLIT_SEED", random.SystemRandom().randrange(10**9)))


@pytest.mark.parametrize("turn", range(ROUNDS))
def test_no_private_change_reaches_customers(bench: Shop, turn: int) -> None:
    print(f"HALFSPLIT_SEED={SEED}")  # pytest shows it where the test fails
    before = files(bench)
    for number in range(IN_EACH_ROUND):
        seed = f"{SEED}-{turn}-{number}"
        after, problems = published(mutated(bench, random.Random(seed)))
        assert not problems, f"HALFSPLIT_SEED={SEED}: {seed}: {problems}"
        assert {each.path: each.content for each in after or ()} == before, f"HALFSPLIT_SEED={SEED}: {seed}"


def test_no_private_change_of_the_demo_reaches_customers() -> None:
    before = files(demo_shop())
    for number in range(ON_THE_DEMO):
        seed = f"{SEED}-demo-{number}"
        after, problems = published(mutated(demo_shop(), random.Random(seed)))
        assert not problems, f"HALFSPLIT_SEED={SEED}: {seed}: {problems}"
        assert {each.path: each.content for each in after or ()} == before, f"HALFSPLIT_SEED={SEED}: {seed}"


def test_mutations_change_what_the_shop_sees(bench: Shop) -> None:
    # Without this the two tests above could pass on a shop that nothing was done to.
    changed = sum(mutated(bench, random.Random(f"{SEED}-{number}")) != bench for number in range(60))
    assert changed > 50


def test_customers_get_the_same_with_nothing_private_at_all(bench: Shop) -> None:
    kinds = ("models", "faults", "parts", "guides", "jobs", "calculators")
    only_public = {
        kind: {name: each for name, each in getattr(bench, kind).items() if may_leave(each.record)}
        for kind in kinds
    }
    bare = replace(bench, **only_public, handbook={}, synonyms=())
    assert not bare.jobs
    assert len(bare.faults) < len(bench.faults)
    assert files(bare) == files(bench)


PUBLIC_CHANGES: dict[str, tuple[str, str, dict[str, Any]]] = {
    "title of a fault": ("faults", "lull-belt-slips", {"title": "Belt glides"}),
    "symptoms": ("faults", "lull-belt-slips", {"symptoms": ("it sings",)}),
    "cause": ("faults", "lull-belt-slips", {"cause": "Age.\n"}),
    "fix": ("faults", "lull-belt-slips", {"fix": ("Ask us.\n",)}),
    "confirmed": ("faults", "lull-belt-slips", {"confirmed": False}),
    "hazards of a fault": ("faults", "lull-belt-slips", {"hazards": ("mains",)}),
    "related": ("faults", "lull-socket", {"related": ()}),
    "block": ("faults", "lull-socket", {"block": "elsewhere"}),
    "name of a model": ("models", "lull", {"name": "Lullaby"}),
    "maker": ("models", "lull", {"maker": "Tessimere"}),
    "kind of a model": ("models", "lull", {"kind": "echo"}),
    "years": ("models", "lull", {"years": "1970"}),
    "name of a part": ("parts", "belt", {"name": "Round belt"}),
    "kind of a part": ("parts", "belt", {"kind": "ring"}),
    "summary of a part": ("parts", "belt", {"summary": "Rubber.\n"}),
    "hazards of a part": ("parts", "belt", {"hazards": ("chemicals",)}),
}


@pytest.mark.parametrize("what", PUBLIC_CHANGES)
def test_each_public_field_does_reach_customers(bench: Shop, what: str) -> None:
    kind, identifier, update = PUBLIC_CHANGES[what]
    located = getattr(bench, kind)[identifier]
    record = located.record.model_copy(update=update)
    other = replace(bench, **{kind: {**getattr(bench, kind), identifier: replace(located, record=record)}})
    assert files(other) != files(bench)


GUIDE_CHANGES: dict[str, Any] = {
    "title": "Care", "summary": "Short.", "models": (), "faults": (), "parts": (), "hazards": ("mains",),
    "sources": ("nowhere",),
}  # fmt: skip


@pytest.mark.parametrize("name", GUIDE_CHANGES)
def test_each_public_field_of_a_guide_does_reach_customers(bench: Shop, name: str) -> None:
    located = bench.guides["for-owners"]
    head = located.record.head.model_copy(update={name: GUIDE_CHANGES[name]})
    record = located.record.model_copy(update={"head": head})
    other = replace(bench, guides={**bench.guides, "for-owners": replace(located, record=record)})
    assert files(other) != files(bench)


def test_the_order_of_guides_does_reach_customers(bench: Shop) -> None:
    other = _with_audience(bench, "guides", "first-look", "customer")
    located = other.guides["for-owners"]
    head = located.record.head.model_copy(update={"order": 0})
    record = located.record.model_copy(update={"head": head})
    moved = replace(other, guides={**other.guides, "for-owners": replace(located, record=record)})
    assert files(moved)["index.html"] != files(other)["index.html"]


@pytest.mark.parametrize(
    ("kind", "identifier", "added"),
    [
        ("models", "pacer", {"models/pacer.html"}),
        ("faults", "lull-socket", {"faults/lull-socket.html"}),
        ("parts", "other-one-shot", {"parts/other-one-shot.html"}),
        ("guides", "first-look", {"guides/first-look.html"}),
    ],
)
def test_marking_one_more_record_adds_its_page_and_no_other(
    bench: Shop, kind: str, identifier: str, added: set[str]
) -> None:
    before = set(files(_with_audience(bench, kind, identifier, "shop")))
    after = set(files(_with_audience(bench, kind, identifier, "customer")))
    assert after - before == added
    assert before <= after


def _with_audience(bench: Shop, kind: str, identifier: str, audience: str) -> Shop:
    records = getattr(bench, kind)
    marked = replace(records[identifier], record=_marked(records[identifier].record, audience))
    return replace(bench, **{kind: {**records, identifier: marked}})


def _marked(record: Any, audience: str) -> Any:
    if not hasattr(record, "head"):
        return record.model_copy(update={"audience": audience})
    # Its text names what is private, so the guide that is published says something else.
    head = record.head.model_copy(update={"audience": audience, "models": (), "faults": (), "parts": ()})
    return record.model_copy(update={"head": head, "body": "Ask us.\n"})


# Whole builds, from disk to disk.


def _leave_as_is(folder: Path) -> None:
    del folder


def _remove_everything_private(folder: Path) -> None:
    shutil.rmtree(folder / "jobs")
    for path in _record_files(folder):
        if "audience: customer" not in path.read_text(encoding="utf-8"):
            path.unlink()
    for name in ("belt.png", "pacer.png", "nobody-names-this.png"):
        (folder / "photos" / name).unlink()
    for path in _record_files(folder):
        if path.suffix == ".yml":
            _rewrite(path, lambda data: {name: data[name] for name in data if name not in _PRIVATE_KEYS})


_PRIVATE_KEYS = (
    "private_note", "price", "kept_in", "markings", "minutes", "values", "parts", "recorded", "photos",
    "checks", "ports", "supply",
)  # fmt: skip


def _rename_and_move(folder: Path) -> None:
    for path in sorted((folder / "jobs").glob("*.yml")):
        path.rename(folder / "jobs" / f"0-{path.name}")
    for path in sorted((folder / "faults").glob("pacer*.yml")):
        (folder / "faults" / "zz").mkdir(exist_ok=True)
        path.rename(folder / "faults" / "zz" / path.name)


def _fill_with_noise(folder: Path) -> None:
    (folder / "shop.yml").write_text(
        re.sub("(?m)^currency:.*$", "currency: CHF", (folder / "shop.yml").read_text(encoding="utf-8")),
        encoding="utf-8",
    )
    noise = {"price": "99.95 CHF", "kept_in": "under the stairs", "private_note": "<b>no</b>"}
    _rewrite(folder / "parts" / "belt.yml", lambda data: {**data, **noise})
    job = (folder / "jobs" / "2026-pacer-0007.yml").read_text(encoding="utf-8")
    for number in range(5):
        (folder / "jobs" / f"2026-again-{number}.yml").write_text(job, encoding="utf-8")


def _poison_what_is_kept(folder: Path) -> None:
    kept = folder / ".halfsplit" / "figures"
    kept.mkdir(parents=True)
    (kept / "0.svg").write_text("poison", encoding="utf-8")
    (folder / "site").mkdir()
    (folder / "site" / "index.html").write_text("an old site", encoding="utf-8")
    for path in folder.rglob("*"):
        os.utime(path, (1, 1))


def _rewrite(path: Path, change: Callable[[dict[str, Any]], dict[str, Any]]) -> None:
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506 - only texts
    path.write_text(yaml.safe_dump(change(data), sort_keys=False, default_style='"'), encoding="utf-8")


def _record_files(folder: Path) -> list[Path]:
    return [
        path
        for kind in ("models", "faults", "parts", "guides")
        for path in sorted((folder / kind).rglob("*.*"))
    ]


@pytest.mark.parametrize(
    "change",
    [_leave_as_is, _remove_everything_private, _rename_and_move, _fill_with_noise, _poison_what_is_kept],
    ids=lambda change: change.__name__.strip("_"),
)
def test_two_whole_builds_are_the_same_byte_for_byte(
    bench_folder: Path, tmp_path: Path, change: Callable[[Path], None]
) -> None:
    expected = _published(bench_folder, tmp_path / "first")
    other = write_public_bench(tmp_path / "another place" / "shop")
    change(other)
    assert _published(other, tmp_path / "deeper" / "second") == expected


def test_a_build_in_another_process_place_and_time_zone_is_the_same(
    bench_folder: Path, tmp_path: Path
) -> None:
    expected = _published(bench_folder, tmp_path / "first")
    target = tmp_path / "second"
    arguments = ["halfsplit", "publish", str(bench_folder), "--to", str(target)]
    program = f"import sys; sys.argv = {arguments!r}; from kb.cli import main; main()"
    other = {"PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland", "LC_ALL": "C", "USER": "somebody"}
    subprocess.run([sys.executable, "-c", program], check=True, cwd=tmp_path, env={**os.environ, **other})
    assert tree(target) == expected


def _published(folder: Path, target: Path) -> dict[str, bytes]:
    done = CliRunner().invoke(main, ["publish", str(folder), "--to", str(target)])
    assert done.exit_code == 0, done.output
    return tree(target)
