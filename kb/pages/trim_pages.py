"""How a model is trimmed: the section on its page, the sheet to print and fill in, and a job's results.

The sheet is paper for the bench: its cautions stand on top of it, for it is taken away from the screen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from kb.pages.addresses import address
from kb.pages.job_judging import Verdict, judged
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.reading import Located
from kb.records import CalculationText, Job, Model, Reading
from kb.records.trim import Calibration, Trim
from kb.shop import ModelFacts
from kb.shop.sight import revisions_of_unit

TRACKING = "tracking"


def trim_section(sheet: Sheet, located: Located[Model], facts: ModelFacts) -> Markup:
    """The procedure on the model's page; nothing for a model without one."""
    calibration = facts.model.calibration
    if calibration is None:
        return Markup("")
    heading = sheet.section("calibration", "Trimming")
    before = sheet.cautions_before(calibration.before) + sheet.prose(
        located, ("calibration", "before"), calibration.before
    )
    return heading + render(
        "trims.html", before=before, rows=_rows(sheet, located, facts, calibration), facts=facts,
        printed=sheet.link(address("trims", facts.id)), minutes=_minutes(calibration),
    )  # fmt: skip


def trim_sheet(desk: Desk, identifier: str) -> Page:
    """The sheet to print, for a model that has trims."""
    located, facts = desk.shop.models[identifier], desk.shop.facts[identifier]
    calibration = facts.model.calibration
    if calibration is None:
        raise KeyError(f"{identifier} has no trims")
    sheet = desk.sheet(address("trims", identifier))
    supply = facts.model.supply
    sheet.expect_reservoirs(supply.reservoirs if supply else ())
    hazards = [hazard for each in calibration.trims for hazard in _hazards(facts, each)]
    hazards += [*facts.model.hazards, *(["mains"] if supply and supply.mains else [])]
    hazards += ["stored-energy"] if supply and supply.reservoirs else []
    texts = [text for each in calibration.trims for text in _words_of(each)]
    on_top = sheet.cautions_before(calibration.before, *texts, declared=hazards)
    title = f"{facts.model.name}: trim sheet"
    body = render(
        "trim-sheet.html", on_top=on_top, facts=facts, title=title, model=sheet.to("model", identifier),
        before=sheet.prose(located, ("calibration", "before"), calibration.before),
        rows=_rows(sheet, located, facts, calibration), minutes=_minutes(calibration),
        shop=desk.shop.card.record.name,
    )  # fmt: skip
    search = SearchText(title, ("trim sheet", "calibration"), tuple(each.name for each in calibration.trims))
    return Page(sheet.path, title, "trims", body, "To print and fill in", search=search)


def _rows(
    sheet: Sheet, located: Located[Model], facts: ModelFacts, calibration: Calibration
) -> list[dict[str, Any]]:
    """Each trim with what stands above it, what it disturbs and where to go back to, by name."""
    names = {each.id: each.name for each in calibration.trims}
    return [
        {
            "trim": trim,
            "cautions": sheet.cautions_before(*_words_of(trim), declared=_hazards(facts, trim)),
            "set_up": sheet.prose(located, ("calibration", "trims", number, "set_up"), trim.set_up),
            "block": sheet.to("block", f"{facts.id}/{trim.block}"),
            "block_name": facts.block(trim.block).name,
            "disturbs": [names[each] for each in trim.disturbs],
            "back": names[trim.go_back_to] if trim.go_back_to else None,
        }
        for number, trim in enumerate(calibration.trims)
    ]


def _words_of(trim: Trim) -> tuple[str | None, ...]:
    return trim.name, trim.trimmer, trim.set_up, trim.do, trim.good.text


def _hazards(facts: ModelFacts, trim: Trim) -> tuple[str, ...]:
    return (*trim.hazards, *facts.block(trim.block).hazards)


def _minutes(calibration: Calibration) -> int:
    return sum(each.minutes or 0 for each in calibration.trims)


# A job's results


@dataclass(frozen=True)
class Trimmed:
    """One trim of a job: its readings and what they are worth; `again` names what it left to be redone."""

    trim: Trim
    before: Reading | None
    before_verdict: Verdict | None
    after: Reading | None
    after_verdict: Verdict | None
    note: str | None
    again: tuple[str, ...]


def trimmed(facts: ModelFacts, job: Job) -> list[Trimmed]:
    """The results of a job in the model's order."""
    calibration = facts.model.calibration
    if calibration is None:
        return []
    turned = {each.trim for each in job.trims if each.after}
    told = {each.trim for each in job.trims}
    rows = []
    for trim in calibration.trims:
        for result in (each for each in job.trims if each.trim == trim.id):
            again = [
                other.name
                for other in calibration.trims
                if other.id in trim.disturbs and other.id not in told and trim.id in turned
                and _on_this_unit(facts, other, job)
            ]  # fmt: skip
            rows.append(
                Trimmed(
                    trim, result.before, _verdict(result.before, trim), result.after,
                    _verdict(result.after, trim), result.note, tuple(again),
                )
            )  # fmt: skip
    return rows


def _on_this_unit(facts: ModelFacts, trim: Trim, job: Job) -> bool:
    return bool(set(facts.revisions_of(trim.revisions)) & set(revisions_of_unit(facts, job)))


def _verdict(reading: Reading | None, trim: Trim) -> Verdict | None:
    return judged(reading, None, trim.good) if reading else None


def words_of_trims(facts: ModelFacts, job: Job) -> list[str | None]:
    """All that a job's page says of its trims, for the cautions on top of it."""
    texts: list[str | None] = []
    for each in trimmed(facts, job):
        readings = [reading.text for reading in (each.before, each.after) if reading]
        texts += [each.trim.name, each.trim.trimmer, each.trim.good.text, each.note, *readings]
    return texts


def with_trimmers(written: CalculationText, facts: ModelFacts, revisions: tuple[str, ...]) -> CalculationText:
    """A tracking calculation of a job that calls the trimmers what the model calls them."""
    calibration = facts.model.calibration
    if written.name != TRACKING or calibration is None:
        return written
    names = {
        f"{each.tracks}_trimmer": each.name
        for each in calibration.trims
        if each.tracks and (not revisions or set(facts.revisions_of(each.revisions)) & set(revisions))
    }
    return written.model_copy(update={"inputs": {**names, **written.inputs}})
