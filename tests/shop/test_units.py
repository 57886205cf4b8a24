"""One unit over the years: which jobs belong together, and which cure did not last."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.pages import build_site
from kb.shop import Links
from kb.shop.units import number_of
from tests.benches import body_of, copied, loaded, page, small_shop

AGAIN = """
model: pacer
serial: pa 7
received: {received}
complaint: misses beats again
findings:
  - fault: pacer-short-pulse
    checks:
      - check: pulse
        reading: 9 ms
        outcome: good
"""


@pytest.mark.parametrize(
    ("serial", "number"),
    [
        ("PA-0007", "pa-7"), ("pa 7", "pa-7"), ("PA7", "pa-7"), ("0007", "pa-7"), ("7", "pa-7"),
        ("PA-0", "pa-0"),
        # Another prefix is another number; what has no figure tells no unit from another.
        ("PX-0007", "px0007"), ("no plate", "job-j"), ("?", "job-j"), ("7A", "7a"),
    ],
)  # fmt: skip
def test_two_spellings_of_a_number_are_one_unit(serial: str, number: str) -> None:
    assert number_of(small_shop().facts["pacer"], serial, "j") == number


@pytest.mark.parametrize(
    ("received", "came_back"), [("2026-08-01", True), ("2027-02-09", True), ("2027-02-10", False)]
)
def test_the_same_fault_within_a_year_means_that_the_cure_did_not_hold(
    tmp_path: Path, received: str, came_back: bool
) -> None:
    shop = loaded(copied(tmp_path / "shop", {"jobs/again.yml": AGAIN.format(received=received)}))
    links = Links(shop)
    assert links.units["pacer/pa-7"].jobs == ("2026-pacer-0007", "again")
    assert links.units["pacer/pa-7"].serial == "pa 7"
    found = links.returned("2026-pacer-0007", "pacer-short-pulse")
    assert (found is not None and found.job == "again") == came_back
    assert links.returned("again", "pacer-short-pulse") is None
    first = next(each for each in links.sightings("pacer-short-pulse") if each.job == "2026-pacer-0007")
    assert first.held is not came_back, "the first job was written down as held"


def test_pages_tell_that_it_came_back_and_what_was_written_wrongly(tmp_path: Path) -> None:
    shop = loaded(copied(tmp_path / "shop", {"jobs/again.yml": AGAIN.format(received="2026-03-09")}))
    site, _ = build_site(shop)
    assert site
    told = "28 days after it went home"
    job = page(site, "jobs/2026-pacer-0007.html").body
    assert told in job
    assert "all 2 visits of this unit" in job
    unit = page(site, "units/pacer/pa-7.html").body
    assert told in unit
    assert unit.index("jobs/again.html") < unit.index("jobs/2026-pacer-0007.html"), (
        "the newest visit comes first"
    )
    home = page(site, "index.html").body
    assert "though written down as held: back after 28 days" in home
    assert "written down as good, but" in home, "the reading contradicts its outcome"
    assert "the cure held in 0 of 1 so far" in page(site, "faults/pacer-short-pulse.html").body


def test_a_unit_on_the_bench_is_told_what_is_still_to_be_made(tmp_path: Path) -> None:
    shop = loaded(copied(tmp_path / "shop", {"jobs/again.yml": AGAIN.format(received="2026-03-09")}))
    assert "Still to be made before it goes home" in body_of(shop, "jobs/again.html")
