"""The page of one fault: cautions, symptom, where it applies, checks, cause, cure, values, relations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from kb.diagnosis.rates import held_text
from kb.pages.addresses import address
from kb.pages.listing import fault_rows
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.pages.shop_captures import capture_blocks
from kb.pages.value_rows import value_rows, words_of_value
from kb.reading import Located
from kb.records import Check, Fault, FaultCheck


@dataclass(frozen=True)
class CheckRow:
    """One check of a fault: what is good, how it reads with this fault, cautions above it."""

    written: FaultCheck
    checks: tuple[tuple[str, Check], ...]
    cautions: Markup


def fault_page(desk: Desk, identifier: str) -> Page:
    """The page of the fault with that id."""
    located = desk.shop.faults[identifier]
    fault = located.record
    sheet = desk.sheet(address("fault", identifier))
    sheet.expect_reservoirs(_reservoirs(desk, fault))
    on_top = sheet.cautions_before(fault.title, *fault.symptoms, declared=_declared(desk, fault))
    symptoms_heading = sheet.section("symptoms", "Symptoms")
    checks_heading = sheet.section("checks", "Checks") if fault.checks else ""
    checks = _checks(desk, sheet, fault)
    cause_heading = sheet.section("cause", "Cause")
    before_cause = sheet.cautions_before(fault.cause)
    cause = sheet.prose(located, ("cause",), fault.cause)
    fix_heading = sheet.section("fix", "Cure")
    steps = _steps(sheet, located)
    values = value_rows(desk, located, ("values",), fault.values)
    values_heading = sheet.section("values", "Values before and after") if values else ""
    before_values = sheet.cautions_before(*(text for row in values for text in words_of_value(row.value)))
    calculations = sheet.calculations(located, ("calculations",), fault.calculations)
    captures = capture_blocks(sheet, located, fault.captures)
    parts = [(needed, sheet.to("part", needed.part)) for needed in fault.parts]
    before_parts = sheet.cautions_before(
        *(text for needed, target in parts for text in (target.title, needed.where, needed.note))
    )
    body = render(
        "fault.html", sheet=sheet, fault=fault, on_top=on_top, symptoms_heading=symptoms_heading,
        applies=_applies(desk, sheet, identifier, fault), siblings=_siblings(desk, sheet, identifier),
        checks_heading=checks_heading, checks=checks, cause_heading=cause_heading, before_cause=before_cause,
        cause=cause, fix_heading=fix_heading, steps=steps, values_heading=values_heading, values=values,
        before_values=before_values,
        calculations=calculations, captures=captures,
        parts=parts, before_parts=before_parts, photos=[sheet.link(each) for name in fault.photos
                                                        if (each := sheet.picture(name))],
        seen_heading=sheet.section("seen-on", "Seen on"), sightings=_sightings(desk, sheet, identifier),
        related_heading=sheet.section("related", "Related"),
        related=fault_rows(sheet, desk.links.related(identifier)),
        same_block=_same_block(desk, sheet, fault),
        guides=[sheet.to("guide", each) for each in desk.links.guides_about("faults", identifier)],
        private_note=sheet.prose(located, ("private_note",), fault.private_note),
    )  # fmt: skip
    models = tuple(desk.shop.models[each].record.name for each in fault.models)
    search = SearchText(fault.title, (*fault.symptoms, *models), (fault.cause, *fault.fix))
    return Page(sheet.path, fault.title, "fault", body, fault.symptoms[0], tuple(sheet.headings), search)


def _declared(desk: Desk, fault: Fault) -> list[str]:
    """The hazards the fault and its block declare."""
    blocks = [desk.shop.facts[model].block(fault.block) for model in fault.models]
    return [*fault.hazards, *(hazard for block in blocks for hazard in block.hazards)]


def _reservoirs(desk: Desk, fault: Fault) -> tuple[Any, ...]:
    return tuple(
        reservoir
        for model in fault.models
        for reservoir in desk.shop.facts[model].reservoirs_on(desk.shop.revisions_of_fault(fault, model))
    )


def _checks(desk: Desk, sheet: Sheet, fault: Fault) -> list[CheckRow]:
    rows = []
    for written in fault.checks:
        found = tuple((model, desk.shop.facts[model].check(written.check)) for model in fault.models)
        texts = [text for _, check in found for text in (check.do, check.good.text, check.note)]
        hazards = [hazard for _, check in found for hazard in check.hazards]
        cautions = sheet.cautions_before(*texts, written.reads.text, written.means, declared=hazards)
        # Models that tell the same check in the same words are shown once.
        same = len({(check.do, check.good.text) for _, check in found}) == 1
        rows.append(CheckRow(written, found[:1] if same else found, cautions))
    return rows


def _steps(sheet: Sheet, located: Located[Fault]) -> list[tuple[Markup, Markup]]:
    """Each step of the cure with the cautions above it."""
    one_text = len(located.record.fix) == 1
    steps = []
    for number, text in enumerate(located.record.fix):
        path: tuple[str | int, ...] = ("fix", number)
        if one_text:
            steps.append((Markup(""), sheet.prose(located, path, text)))
        else:
            steps.append((sheet.cautions_before(text), sheet.prose(located, path, text)))
    return steps


def _applies(desk: Desk, sheet: Sheet, identifier: str, fault: Fault) -> list[dict[str, Any]]:
    """Each model with the block and the revisions this fault is on."""
    rows = []
    for model in fault.models:
        facts = desk.shop.facts[model]
        on = desk.links.revisions(identifier, model)
        rows.append(
            {
                "model": sheet.to("model", model),
                "maker": facts.model.maker,
                "bench": sheet.link(address("bench", model)),
                "block": sheet.to("block", f"{model}/{fault.block}"),
                "block_name": facts.block(fault.block).name,
                "revisions": [(each, sheet.to("revision", f"{model}/{each}")) for each in on],
                "everywhere": len(on) == len(facts.revision_ids),
                "serials": [text for each in on for text in facts.revision(each).serials],
            }
        )
    return rows


def _siblings(desk: Desk, sheet: Sheet, identifier: str) -> list[dict[str, Any]]:
    """Faults with the same symptom on sibling revisions, with where they are."""
    found = []
    for match in desk.links.same_symptom_elsewhere(identifier):
        other = desk.shop.faults[match.fault].record
        on = [
            sheet.to("revision", f"{model}/{each}")
            for model in other.models
            for each in desk.links.revisions(match.fault, model)
        ]
        found.append(
            {"target": sheet.to("fault", match.fault), "symptom": match.other_symptom, "revisions": on}
        )
    return found


def _sightings(desk: Desk, sheet: Sheet, identifier: str) -> dict[str, Any]:
    sightings = desk.links.sightings(identifier)
    rows = [
        {
            "job": sheet.to("job", each.job),
            "serial": desk.shop.jobs[each.job].record.serial,
            "revisions": [sheet.to("revision", f"{each.model}/{revision}") for revision in each.revisions],
            "sighting": each,
        }
        for each in sightings[:12]
    ]
    units = {
        (desk.shop.jobs[each.job].record.model, desk.shop.jobs[each.job].record.serial) for each in sightings
    }
    rate = held_text(each.held for each in sightings)
    return {"rows": rows, "units": len(units), "rate": rate, "count": len(sightings)}


def _same_block(desk: Desk, sheet: Sheet, fault: Fault) -> list[dict[str, Any]]:
    """Faults in blocks of other models that do the same job."""
    found: dict[str, dict[str, Any]] = {}
    for model in fault.models:
        for other_model, block in desk.links.same_role(model, fault.block):
            if other_model in fault.models:
                continue
            faults = desk.links.faults_of(other_model, block=block)
            if faults:
                target = sheet.to("block", f"{other_model}/{block}")
                found[target.address] = {
                    "block": target,
                    "faults": fault_rows(sheet, faults[:5], other_model),
                }
    return [found[key] for key in sorted(found)]
