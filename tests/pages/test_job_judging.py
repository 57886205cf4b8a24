"""What a reading in a job is worth: one table of readings, what is good, and the words on the page."""

from __future__ import annotations

import pytest

from kb.pages.job_judging import Outcome, judged
from kb.records import Reading

NO_BREAK = "\u00a0"


@pytest.mark.parametrize(
    ("reading", "outcome", "good", "kind", "words"),
    [
        ("15 ms", None, "10 ms to 20 ms", "good", "good, 5 ms inside the limit"),
        ("12 ms", None, "10 ms to 20 ms", "good", "good, 2 ms inside the limit"),
        ("20 ms", None, "10 ms to 20 ms", "good", "good, at the very limit"),
        ("5 mV", None, "<= 20 mV", "good", "good, 15 mV inside the limit"),
        ("One lamp at a time", None, "one lamp at a time.", "good", "good, as it should be"),
        # Outside: by how much, and what share of the limit that is.
        ("4.4 ms", None, "10 ms to 20 ms", "bad", "bad, 5.6 ms (56 %) below the least that is good"),
        ("25 ms", None, "10 ms to 20 ms", "bad", "bad, 5 ms (25 %) above the most that is good"),
        ("-15.9 V", None, "-15.5 V to -14.5 V", "bad", "bad, 400 mV (3 %) below the least that is good"),
        ("15 ms to 25 ms", None, "10 ms to 20 ms", "bad",
         "bad, in part, up to 5 ms (25 %) above the most that is good"),
        # No share where nought is no bottom: 60 degrees are not a fifth more than 50.
        ("60 degC", None, "<= 50 degC", "bad", "bad, 10 K above the most that is good"),
        ("3 cents", None, "-2 cents to 2 cents", "bad", "bad, 1 cent above the most that is good"),
        # What was written beside it never makes a bad reading good.
        ("25 ms", "good", "10 ms to 20 ms", "bad",
         "written down as good, but 5 ms (25 %) above the most that is good"),
        ("15 ms", "bad", "10 ms to 20 ms", "bad", "written down as bad, though 5 ms inside the limit"),
        (">= 12 ms", None, "10 ms to 20 ms", "open", "open whether all of it lies within the limits"),
        # Words that cannot be compared stand by their outcome alone.
        ("dim", None, "bright", "open", "not judged: no outcome is written, and words cannot be measured"),
        ("dim", "bad", "bright", "bad", "bad"),
        ("4 V", "good", "10 ms to 20 ms", "good", "good"),
        (None, "good", "10 ms to 20 ms", "good", "good"),
        ("15 ms", "not_done", "10 ms to 20 ms", "not_done", "not made"),
    ],
)  # fmt: skip
def test_a_reading_is_judged_and_by_how_much(
    reading: str | None, outcome: Outcome | None, good: str, kind: str, words: str
) -> None:
    read = Reading.read(reading) if reading else None
    verdict = judged(read, outcome, Reading.read(good))
    assert (verdict.kind, verdict.words.replace(NO_BREAK, " ")) == (kind, words)
    assert verdict.contradicts == words.startswith("written down as good"), (
        "bad may be for more than a figure"
    )
