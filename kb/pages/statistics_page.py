"""How good the ranking would have been on the shop's own jobs, and how often the cures held, said honestly.

Every job is judged by what was on record before it came in. Few jobs prove little, and the page says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.diagnosis.case import LEAK
from kb.diagnosis.evaluation import Evaluation, Trial, evaluate
from kb.diagnosis.rates import FEWEST_FOR_PERCENT, held_text, rate_text
from kb.diagnosis.scoring import Prediction, Scores
from kb.pages.addresses import Target
from kb.pages.pageset import Page
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet

PATH = "bench/statistics.html"
MOST_ROWS = 100
"""The newest jobs are listed; all of them count in the shares."""


@dataclass(frozen=True)
class Row:
    """One fault found in one job, and where the ranking had it: from the complaint, and after the checks."""

    job: Target
    received: str
    fault: Target
    arrival: str
    checked: str
    checks: int


@dataclass(frozen=True)
class Cure:
    """In how many jobs a fault was found, and in how many of those that were followed up its cure held."""

    fault: Target
    found: int
    rate: str


def statistics_page(desk: Desk) -> Page:
    """The page; on a shop without jobs it says so."""
    sheet = desk.sheet(PATH)
    found = evaluate(desk.shop) if desk.draws else evaluate_nothing()
    shares = [
        ("from the complaint alone", *_shares(found.arrival)),
        ("after the checks that were made", *_shares(found.checked)),
    ]
    ranking = sheet.section("ranking", "Where the fault stood")
    trials = sheet.section("jobs", "Job by job") if found.trials else ""
    cures = sheet.section("cures", "Whether the cures held")
    body = render(
        "statistics.html", n=len(found.trials), shares=shares, rows=_rows(sheet, found), cures=_cures(sheet),
        ranking_heading=ranking, trials_heading=trials, cures_heading=cures,
        lost=sum(1 for each in found.trials if each.checked is None), few=FEWEST_FOR_PERCENT,
        new=sum(1 for each in found.trials if each.arrival.truth == LEAK), most=MOST_ROWS,
    )  # fmt: skip
    title = "How good is the ranking?"
    return Page(sheet.path, title, "statistics", body, "Held against our own jobs", tuple(sheet.headings))


def evaluate_nothing() -> Evaluation:
    """No trial at all, for where only problems are looked for."""
    none = Scores(0, 0, 0, None, None, None)
    return Evaluation((), none, none)


def _shares(scores: Scores) -> tuple[int, str, str]:
    return scores.n, rate_text(scores.first, scores.n), rate_text(scores.first_three, scores.n)


def _rows(sheet: Sheet, found: Evaluation) -> list[Row]:
    return [_row(sheet, trial) for trial in reversed(found.trials[-MOST_ROWS:])]


def _row(sheet: Sheet, trial: Trial) -> Row:
    return Row(
        sheet.to("job", trial.job),
        sheet.desk.shop.jobs[trial.job].record.received.isoformat(),
        sheet.to("fault", trial.fault),
        _place(trial.arrival),
        _place(trial.checked) if trial.checked else "the checks contradicted each other",
        trial.checks,
    )


def _place(prediction: Prediction) -> str:
    known = len(prediction.probabilities)
    new = "not on record then; that stood " if prediction.truth == LEAK else ""
    return f"{new}{prediction.rank} of {known}"


def _cures(sheet: Sheet) -> list[Cure]:
    """Each fault whose cures were followed up, the most often found first; counted as on the fault's page."""
    links = sheet.desk.links
    seen = {fault: links.sightings(fault) for fault in sheet.desk.shop.faults}
    told = {fault: held_text(each.held for each in sightings) for fault, sightings in seen.items()}
    order = sorted(seen, key=lambda each: (-len(seen[each]), each))
    return [Cure(sheet.to("fault", each), len(seen[each]), told[each]) for each in order if told[each]]
