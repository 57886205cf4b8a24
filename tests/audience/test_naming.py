"""A record for customers that names, links or tells something private is a problem at its line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from kb.cli.main import main
from tests.audience.public_bench import write_public_bench

Change = Callable[[Path], None]


def edit(name: str, old: str, new: str) -> Change:
    def change(folder: Path) -> None:
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return change


GUIDE = "guides/for-owners.md"
SHOP_ONLY = "is for the shop only, and customers would read this"
MARK_IT = 'mark it "audience: customer", or take the link out'
NAMED: dict[str, tuple[Change, str]] = {
    "a model in a guide's head": (
        edit(GUIDE, "models: lull", "models: [lull, pacer]"),
        f'{GUIDE}:4:16: the model "pacer" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a fault in a guide's head": (
        edit(GUIDE, "faults: lull-belt-slips", "faults: [pacer-short-pulse]"),
        f'{GUIDE}:5:10: the fault "pacer-short-pulse" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a part in a guide's head": (
        edit(GUIDE, "parts: belt", "parts: one-shot"),
        f'{GUIDE}:6:8: the part "one-shot" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a related fault": (
        edit("faults/lull/lull-socket.yml", "related: lull-belt-slips", "related: pacer-short-pulse"),
        f'faults/lull/lull-socket.yml:8:10: the fault "pacer-short-pulse" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a fault's model": (
        edit("models/lull.yml", "audience: customer", "audience: shop"),
        (
            f'faults/lull/lull-socket.yml:2:9: the model "lull" {SHOP_ONLY}; mark it "audience: customer" '
            "(they see its name, maker, kind and years), or keep the fault in the shop"
        ),
    ),
    "a fault in prose": (
        edit(GUIDE, "Wipe it", "[Wipe](fault:pacer-short-pulse) it"),
        f'{GUIDE}:14:8: the fault "pacer-short-pulse" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a model in prose": (
        edit(GUIDE, "Wipe it", "[Wipe](model:pacer) it"),
        f'{GUIDE}:14:8: the model "pacer" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a guide in prose": (
        edit(GUIDE, "Wipe it", "[Wipe](guide:first-look#top) it"),
        f'{GUIDE}:14:8: the guide "first-look" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a part in a cause": (
        edit("faults/lull/lull-socket.yml", "The lead is worn", "The [lead](part:one-shot) is worn"),
        f'faults/lull/lull-socket.yml:6:8: the part "one-shot" {SHOP_ONLY}; {MARK_IT}',
    ),
    "a handbook page": (
        edit(GUIDE, "Wipe it", "[Wipe](handbook:safety-on-the-bench) it"),
        (
            f'{GUIDE}:14:8: the handbook page "safety-on-the-bench" {SHOP_ONLY}; '
            "take the link out, or say it in the text"
        ),
    ),
    "a block": (
        edit(GUIDE, "Wipe it", "[Wipe](block:lull/motor) it"),
        f'{GUIDE}:14:8: the block "lull/motor" {SHOP_ONLY}; take the link out, or say it in the text',
    ),
    "a revision": (
        edit(GUIDE, "Wipe it", "[Wipe](revision:lull/a) it"),
        f'{GUIDE}:14:8: the revision "lull/a" {SHOP_ONLY}; take the link out, or say it in the text',
    ),
    "a job": (
        edit(GUIDE, "Wipe it", "[Wipe](job:2026-pacer-0007) it"),
        f'{GUIDE}:14:8: the job "2026-pacer-0007" {SHOP_ONLY}; take the link out, or say it in the text',
    ),
    "a link by reference": (
        edit(GUIDE, "Wipe it", "[Wipe][w] it\n\n[w]: job:2026-pacer-0007\n"),
        f'{GUIDE}:16:6: the job "2026-pacer-0007" {SHOP_ONLY}; take the link out, or say it in the text',
    ),
    "a picture that is not there": (
        edit(GUIDE, "photos/new-belt.png", "photos/new-bolt.png"),
        (
            f'{GUIDE}:17:26: there is no picture "photos/new-bolt.png"; '
            "put it under photos/ and write photos/name"
        ),
    ),
    "a customer's reference": (
        edit(GUIDE, "dry cloth", "dry cloth, as for REF-1"),
        f'{GUIDE}:14:34: "REF-1" is a customer\'s reference; take it out; customers read this text',
    ),
    "a real serial": (
        edit("faults/lull-belt-slips.yml", "The belt is older", "On pa 0007 the belt is older"),
        (
            'faults/lull-belt-slips.yml:6:6: "pa 0007" is the serial of a unit on the bench; '
            "take it out; customers read this text"
        ),
    ),
    "the id of a job": (
        edit(GUIDE, "dry cloth", "dry cloth, see 2026-pacer-0007"),
        f'{GUIDE}:14:31: "2026-pacer-0007" is the id of a job; take it out; customers read this text',
    ),
    "a short serial that is called one": (
        edit(GUIDE, "title: Looking after it", "title: Looking after serial no. 950"),
        (
            f'{GUIDE}:2:22: "serial no. 950" is the serial of a unit on the bench; '
            "take it out; customers read this text"
        ),
    ),
    "a serial in a symptom": (
        edit("faults/lull/lull-socket.yml", "it stops when", "PA-0007 stops when"),
        (
            'faults/lull/lull-socket.yml:5:5: "PA-0007" is the serial of a unit on the bench; '
            "take it out; customers read this text"
        ),
    ),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_public_bench(tmp_path / "shop")


@pytest.mark.parametrize("command", ["publish", "check"])
@pytest.mark.parametrize("what", NAMED)
def test_it_is_told_at_its_line(folder: Path, tmp_path: Path, what: str, command: str) -> None:
    change, expected = NAMED[what]
    change(folder)
    options = ["--to", str(tmp_path / "out")] if command == "publish" else []
    done = CliRunner().invoke(main, [command, str(folder), *options])
    assert done.exit_code == 1
    assert expected in done.output.splitlines() or _without_path(expected, done.output)
    assert not (tmp_path / "out").exists()


def _without_path(expected: str, output: str) -> bool:
    """The shop's own check says the same of what is not there at all, in its words and once."""
    place = expected.split(": ", maxsplit=1)[0]
    return expected.count("there is no") > 0 and output.count(f"{place}: there is no") == 1


def test_all_of_them_come_at_once(folder: Path, tmp_path: Path) -> None:
    edit(GUIDE, "Wipe it", "[Wipe](job:2026-pacer-0007) [it](block:lull/motor)")(folder)
    edit(GUIDE, "models: lull", "models: [lull, pacer]")(folder)
    edit("faults/lull/lull-socket.yml", "it stops when", "PA-0007 stops when")(folder)
    done = CliRunner().invoke(main, ["publish", str(folder), "--to", str(tmp_path / "out")])
    assert done.exit_code == 1
    assert len([line for line in done.output.splitlines() if ": " in line and line[0] != " "]) == 4
    assert "4 problems; nothing was written" in done.output


@pytest.mark.parametrize(
    ("reference", "text", "found"),
    [
        ("ref-0063", "as for Ref-0063 before", True),
        ("ref-0063", "as for ref-00631 before", False),
        ("Orla Pennick, Harbour Street", "what Pennick heard", True),
        ("Orla Pennick, Harbour Street", "what orla heard", False),
        ("Lull", "the lull before", True),
        ("Mr Lull", "the Lull before", False),
        ("ab", "ab ovo", False),
    ],
)
def test_references_and_names(folder: Path, tmp_path: Path, reference: str, text: str, found: bool) -> None:
    edit("jobs/2026-pacer-0007.yml", "customer: ref-1", f'customer: "{reference}"')(folder)
    edit(GUIDE, "Wipe it with a dry cloth", text)(folder)
    done = CliRunner().invoke(main, ["publish", str(folder), "--to", str(tmp_path / "out")])
    assert ("is a customer's reference" in done.output) is found
    assert done.exit_code == int(found)


def test_a_year_is_no_serial(folder: Path) -> None:
    edit(GUIDE, "dry cloth", "dry cloth since 950 and 1950")(folder)
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0


def test_the_demo_shop_has_nothing_to_tell(demo_content: Path, tmp_path: Path) -> None:
    done = CliRunner().invoke(main, ["publish", str(demo_content), "--to", str(tmp_path / "out")])
    assert done.exit_code == 0, done.output
    assert done.output.startswith("3 guides, 4 faults, 0 pictures published in ")


def test_a_shop_with_nothing_for_customers_says_so(folder: Path, tmp_path: Path) -> None:
    for path in folder.rglob("*.*"):
        if path.suffix in (".yml", ".md"):
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace("audience: customer", "audience: shop"), encoding="utf-8")
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0
    done = CliRunner().invoke(main, ["publish", str(folder), "--to", str(tmp_path / "out")])
    assert done.exit_code == 1
    assert "shop.yml:1:1: no guide and no fault is marked for customers" in done.output
