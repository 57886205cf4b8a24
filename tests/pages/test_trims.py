"""Trims on the pages: results judged in the model's order, and the sheet that goes to the bench."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kb.pages.trim_pages import trimmed, with_trimmers
from kb.reading import read_record
from kb.records import CalculationText, Job
from tests.benches import body_of, demo_shop, edited, loaded, small_shop

JOB = "model: pacer\nserial: PA-0007\nreceived: 2026-02-02\n"


def job(trims: str) -> Job:
    located, problems = read_record((JOB + trims).encode(), "jobs/j.yml", "j", Job)
    assert located, [str(each) for each in problems]
    return located.record


@pytest.mark.parametrize(
    ("trims", "rows"),
    [
        # Told in the model's order, each reading judged for itself.
        ("trims: [{trim: span, after: 16 Hz}, {trim: rate, before: 1.5 Hz, after: 2 Hz}]",
         [("rate", "bad", "good", ()), ("span", None, "good", ())]),
        # What was turned leaves what it disturbs to be looked at again; what was only read does not.
        ("trims: [{trim: rate, before: 1.5 Hz, after: 2 Hz}]", [("rate", "bad", "good", ("SPAN",))]),
        ("trims: [{trim: rate, before: 2 Hz}]", [("rate", "good", None, ())]),
        ("trims: [{trim: rate, before: 1 Hz, after: 1.5 Hz}, {trim: span, before: 16 Hz}]",
         [("rate", "bad", "bad", ()), ("span", "good", None, ())]),
    ],
)  # fmt: skip
def test_results_are_judged_and_what_was_disturbed_is_told(
    trims: str, rows: list[tuple[str, str | None, str | None, tuple[str, ...]]]
) -> None:
    found = [
        (each.trim.id, each.before_verdict and each.before_verdict.kind,
         each.after_verdict and each.after_verdict.kind, each.again)
        for each in trimmed(small_shop().facts["pacer"], job(trims))
    ]  # fmt: skip
    assert found == rows


def test_a_model_without_trims_has_no_sheet() -> None:
    assert trimmed(small_shop().facts["lull"], job("")) == []
    with pytest.raises(KeyError):
        body_of(small_shop(), "models/lull/trims.html")


def test_the_tracking_of_a_job_calls_the_trimmers_what_the_model_calls_them() -> None:
    facts = demo_shop().facts["sorrel"]
    written = CalculationText(name="tracking", inputs={"readings": "0 V=65 Hz, 1 V=130 Hz"})
    named = with_trimmers(written, facts, ("b",)).inputs
    assert (named["scale_trimmer"], named["offset_trimmer"]) == ("SCALE", "TUNE")
    own = CalculationText(name="tracking", inputs={"scale_trimmer": "the left one"})
    assert with_trimmers(own, facts, ()).inputs["scale_trimmer"] == "the left one"
    other = CalculationText(name="tempo", inputs={"bpm": "120 BPM"})
    assert with_trimmers(other, facts, ()) is other


def test_cautions_stand_on_top_of_the_sheet(tmp_path: Path) -> None:
    """On paper nobody sees the model's page, so what trims, blocks and supply call for stands there."""
    folder = edited(tmp_path / "s", "models/pacer.yml", ("RV2 under the lid", "RV2 at the heat sink"))
    body = body_of(loaded(folder), "models/pacer/trims.html")
    rows = body.index("hs-sheet")
    cautions = [(each[1], each.start()) for each in re.finditer(r"hs-caution-([a-z-]+)\"", body)]
    assert {"mains", "stored-energy", "hot-parts"} <= {hazard for hazard, _ in cautions}
    assert all(at < rows for _, at in cautions)
