"""`halfsplit find`: the same faults for every wording, narrowed to a unit, and never from an old copy."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from kb.pages.search_files import site_search
from kb.search import Narrowing, SymptomIndex, files_of
from kb.search.kept import PLACE, State
from tests.benches import demo_shop
from tests.cli.shops import run
from tests.search.bench_faults import QUERIES

FIRST_SERIES, LAST_SERIES = "trigger-too-short-first-series", "wrong-one-shot-in-last-series"
HEAVY = ("pydantic", "pint", "numpy", "yaml", "jinja2", "markdown")


@pytest.fixture
def shop(demo_content: Path, tmp_path: Path) -> Path:
    """The demo's records, long settled."""
    folder = tmp_path / "shop"
    for name in ("models", "faults", "parts", "jobs"):
        shutil.copytree(demo_content / name, folder / name)
    shutil.copy(demo_content / "shop.yml", folder)
    return folder


@pytest.fixture
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock that is ahead, so that files just written count as written long ago."""
    now = time.time_ns
    monkeypatch.setattr("kb.search.kept.time.time_ns", lambda: now() + 60_000_000_000)


def found(shop: Path, *words: str) -> list[dict[str, Any]]:
    result = run("find", *words, "--shop", str(shop), "--json")
    assert result.exit_code == 0, result.output
    rows: list[dict[str, Any]] = json.loads(result.stdout)
    return rows


def ids(shop: Path, *words: str) -> list[str]:
    return [each["fault"] for each in found(shop, *words)]


@pytest.mark.parametrize("words", ["no gate out", "envelope doesn't start", "misses notes", "won't trigger"])
def test_every_wording_reaches_the_same_faults(shop: Path, words: str) -> None:
    assert {FIRST_SERIES, LAST_SERIES} <= set(ids(shop, words)[:4])
    assert ids(shop, *words.split())[:4] == ids(shop, "no gate out")[:4]


def test_the_shape_of_the_json(shop: Path) -> None:
    first = found(shop, "no gate out", "--serial", "SX16-0137")[0]
    score = first.pop("score")
    assert isinstance(score, int)
    assert first == {
        "fault": FIRST_SERIES,
        "title": "First series sends triggers too short for older envelopes",
        "symptom": "Some notes do not sound, the envelope does not start",
        "models": ["sixteenfold"],
        "revisions": ["sixteenfold/a"],
        "block": first["block"],
        "seen": 1,
        "path": str(shop / "faults" / "sixteenfold" / f"{FIRST_SERIES}.yml"),
        "elsewhere": False,
        "confirmed": True,
    }
    assert Path(first["path"]).is_file()


@pytest.mark.parametrize(
    ("options", "here", "not_here"),
    [
        (("--serial", "SX16-0137"), FIRST_SERIES, LAST_SERIES),
        (("--serial", "sx16 1500"), LAST_SERIES, FIRST_SERIES),
        (("--model", "sixteenfold", "--serial", "137"), FIRST_SERIES, LAST_SERIES),
        (
            ("--model", "Sixteenfold", "--block", "trigger-shaper"),
            FIRST_SERIES,
            "sorrel-short-trigger-unheard",
        ),
    ],
)
def test_a_serial_number_leaves_the_faults_of_its_revision(
    shop: Path, options: tuple[str, ...], here: str, not_here: str
) -> None:
    rows = found(shop, "no gate out", *options)
    on_unit = [each["fault"] for each in rows if not each["elsewhere"]]
    assert here in on_unit
    assert not_here not in on_unit
    assert [each["elsewhere"] for each in rows] == sorted(each["elsewhere"] for each in rows)


def test_a_person_reads_title_symptom_place_and_file(shop: Path) -> None:
    result = run("find", "no", "gate", "out", "--shop", str(shop), "--serial", "SX16-0137", "--limit", "1")
    assert result.output.splitlines() == [
        "First series sends triggers too short for older envelopes",
        "  “Some notes do not sound, the envelope does not start”",
        "  Sixteenfold, revision A · Trigger one-shot · seen 1×",
        f"  {shop}/faults/sixteenfold/{FIRST_SERIES}.yml",
    ]


def test_nothing_found_is_said_and_is_no_failure(shop: Path) -> None:
    result = run("find", "zzzz", "--shop", str(shop))
    assert (result.exit_code, result.output) == (0, "Nothing found; fewer or other words may help.\n")
    assert found(shop, "zzzz") == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("hum", "--model", "sixteenfld"), 'there is no model "sixteenfld"; did you mean "sixteenfold"?'),
        (("hum", "--block", "clok-input"), 'there is no block "clok-input"; did you mean "clock-input"?'),
        (("hum", "--hazard", "main"), 'there is no hazard "main"; did you mean "mains"?'),
        (("hum", "--serial", "QQ-1"), 'no revision on record has the serial number "QQ-1"; on record are: '),
        (("hum", "--model", "sorrel", "--block", "tape-path"), 'there is no block "tape-path"; '),
        ((), "nothing is asked for; give words, or --model, --serial, --block or --hazard"),
        (("  ",), "nothing is asked for; "),
        (("hum", "--limit", "0"), "Invalid value for '--limit'"),
    ],
)
def test_what_is_not_there_is_refused_with_what_is_near(
    shop: Path, words: tuple[str, ...], said: str
) -> None:
    result = run("find", *words, "--shop", str(shop))
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stdout == ""


def test_a_folder_that_is_no_shop_is_refused(tmp_path: Path) -> None:
    result = run("find", "hum", "--shop", str(tmp_path))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "shop.yml is missing" in result.stderr
    assert not (tmp_path / ".halfsplit").exists()


def test_records_with_problems_are_counted_and_the_others_searched(shop: Path) -> None:
    before = ids(shop, "no gate out")
    (shop / "faults" / "broken.yml").write_text("title: [", encoding="utf-8")
    (shop / "faults" / "Not an id.yml").write_text("title: x", encoding="utf-8")
    (shop / "faults" / "sixteenfold" / f"{LAST_SERIES}.yml").write_text(
        "title: nothing else\n", encoding="utf-8"
    )
    (shop / "synonyms.yml").write_text("groups: none", encoding="utf-8")
    for _ in range(2):
        result = run("find", "no gate out", "--shop", str(shop), "--json")
        assert result.exit_code == 0
        assert [each["fault"] for each in json.loads(result.stdout)] == [
            each for each in before if each != LAST_SERIES
        ]
        assert result.stderr == "4 records have problems and cannot be searched; halfsplit check tells them\n"


def test_a_shop_extends_the_synonyms(shop: Path) -> None:
    assert ids(shop, "zwirbles") == []
    (shop / "synonyms.yml").write_text("groups:\n  - [zwirbles, misses notes]\n", encoding="utf-8")
    assert ids(shop, "zwirbles")[:4] == ids(shop, "no gate out")[:4]


@pytest.mark.usefixtures("settled")
def test_an_answer_is_never_from_before_an_edit(shop: Path) -> None:
    assert ids(shop, "zwirbles") == ids(shop, "zwirbles") == []
    file = shop / "faults" / "sixteenfold" / f"{FIRST_SERIES}.yml"
    times, text = file.stat(), file.read_text(encoding="utf-8")
    file.write_text(text.replace("Some notes do not sound", "zwirbles when it is on a"), encoding="utf-8")
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert ids(shop, "zwirbles") == [FIRST_SERIES]
    job = next((shop / "jobs").rglob("*.yml"))
    seen = found(shop, "zwirbles")[0]["seen"]
    head = "model: sixteenfold\nserial: SX16-0001\nreceived: 2026-01-01\n"
    (job.parent / "one-more.yml").write_text(
        f"{head}findings:\n  - fault: {FIRST_SERIES}\n", encoding="utf-8"
    )
    assert found(shop, "zwirbles")[0]["seen"] == seen + 1
    file.unlink()
    assert ids(shop, "zwirbles") == []


@pytest.mark.usefixtures("settled")
def test_what_is_kept_is_only_a_copy(shop: Path) -> None:
    answers = found(shop, "no gate out")
    kept = {each.name: each.read_bytes() for each in (shop / PLACE).iterdir()}
    assert set(kept) == {"index", "notes"}
    for spoil in (
        lambda data: data[:-3],
        lambda data: data[:0],
        lambda data: data.replace(b"s", b"t"),
        lambda data: data * 2,
    ):
        for name, data in kept.items():
            (shop / PLACE / name).write_bytes(spoil(data))
        assert found(shop, "no gate out") == answers
        assert {each.name: each.read_bytes() for each in (shop / PLACE).iterdir()} == kept


def test_a_folder_that_cannot_be_written_to_is_searched_all_the_same(shop: Path) -> None:
    answers = found(shop, "no gate out")
    shutil.rmtree(shop / ".halfsplit")
    (shop / ".halfsplit").write_text("in the way", encoding="utf-8")
    assert found(shop, "no gate out") == answers


def test_a_question_asked_twice_loads_nothing_that_reads_records(shop: Path) -> None:
    for file in shop.rglob("*.yml"):
        os.utime(file, (1_700_000_000, 1_700_000_000))
    time.sleep(2.2)  # the times of change cannot be set, only waited for
    run("find", "hum", "--shop", str(shop))
    assert State.of(shop).all_settled
    program = f"""
import sys
from kb.cli import main
try:
    main(["find", "no gate out", "--shop", {str(shop)!r}, "--serial", "SX16-0137", "--json"])
except SystemExit as end:
    print(end.code, [name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)
"""
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, encoding="utf-8", check=False
    )
    assert ended.stderr == "0 []\n"
    assert json.loads(ended.stdout)[0]["fault"] == FIRST_SERIES


def test_the_terminal_ranks_as_the_site_does(shop: Path) -> None:
    site = SymptomIndex(files_of(site_search(demo_shop(), ())))
    options = {"model": "--model", "serial": "--serial", "block": "--block", "hazard": "--hazard"}
    for narrowing in (Narrowing(), Narrowing(serial="SX16-0137"), Narrowing(model="sorrel", hazard="mains")):
        given = [text for name, option in options.items() if (value := getattr(narrowing, name))
                 for text in (option, value)]  # fmt: skip
        for words in (each for each in QUERIES[:20] if each.strip()):
            of_site = [
                (Path(site.index.row(hit.number)[0]).stem, hit.score) for hit in site.find(words, narrowing)
            ]
            rows = found(shop, words, "--limit", "1000", *given)
            assert [(each["fault"], each["score"]) for each in rows] == of_site
