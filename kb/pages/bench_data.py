"""What the bench page of a model carries, ready for JSON: a case for each state its units may be in.

Priors, rates and minutes are worked out here, by the same functions that `halfsplit rank` asks. The browser
adds only what a person enters.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from kb.diagnosis.case import Case, Cause
from kb.diagnosis.closeness import ToWords
from kb.diagnosis.flow import cones
from kb.diagnosis.from_shop import Bench, Suspect, bench_for
from kb.diagnosis.history import History
from kb.diagnosis.report import LEAST_SAVING_MINUTES, NOT_RECORDED, check_cautions, confirm_cautions
from kb.pages.addresses import address
from kb.pages.sheet import Sheet
from kb.quantities import Span
from kb.records import Check
from kb.safety import Caution
from kb.shop import ModelFacts
from kb.shop.symptoms import words_of

MOST_CAUSES = 60
"""Beyond this many on one revision the likeliest are kept, so that a page stays small."""

Called = list[list[str]]
"""Hazards with what called for each."""

_UNITS: Mapping[str, tuple[str, ...]] = {
    "voltage": ("V", "mV"), "current": ("mA", "A", "uA"), "resistance": ("ohm", "kohm", "Mohm"),
    "capacitance": ("uF", "nF", "pF"), "time": ("ms", "us", "s"), "frequency": ("Hz", "kHz"),
    "interval": ("cents",), "tempo": ("BPM",), "ratio": ("%",), "temperature": ("°C",), "length": ("mm",),
}  # fmt: skip
"""What a reading of each dimension is mostly written in; anything else can be typed with the number."""


def bench_data(sheet: Sheet, facts: ModelFacts, to_words: ToWords = words_of) -> dict[str, Any]:
    """The cases of one model for each state its units may be in, and what their ids stand for."""
    shop = sheet.desk.shop
    history = History(shop)
    benches = [
        _bounded(bench_for(shop, facts.id, revisions, history=history)) for revisions in unit_states(facts)
    ]
    causes = _suspects(bench for bench, _ in benches)
    rates = _rates(bench for bench, _ in benches)
    places = {identifier: place for place, identifier in enumerate(causes)}
    blocks = {block.id: place for place, block in enumerate(facts.model.blocks)}
    return {
        "model": facts.id,
        "name": facts.model.name,
        "shop": shop.card.record.name,
        "leastSaving": LEAST_SAVING_MINUTES,
        "notRecorded": NOT_RECORDED,
        "revisions": [_revision(facts, each) for each in facts.revision_ids],
        "blocks": [{"id": block.id, "name": block.name} for block in facts.model.blocks],
        "checks": [_check(sheet, facts, check) for check in facts.model.checks],
        "causes": [_cause(sheet, facts, each) for each in causes.values()],
        **_symptoms(sheet, causes, to_words),
        "rates": list(rates),
        "cases": {
            "+".join(bench.revisions): _case(bench, left, places, rates, blocks) for bench, left in benches
        },
    }


def unit_states(facts: ModelFacts) -> tuple[tuple[str, ...], ...]:
    """The revisions a unit may be of: each one, all of them, and the sets that some serial leaves open."""
    found: list[tuple[str, ...]] = [(each,) for each in facts.revision_ids]
    found += [facts.revisions_for_serial(serial) for serial in _telling_serials(facts)]
    found.append(facts.revision_ids)
    return tuple(dict.fromkeys(each for each in found if each))


def _telling_serials(facts: ModelFacts) -> Iterator[str]:
    """A serial for each stretch between two ends of ranges, bare and behind every prefix."""
    ranges = [each for of in facts.ranges.values() for each in of]
    numbers = {number for each in ranges for number in (each.low or 0, (each.high or 0) + 1)}
    for prefix in sorted({"", *(each.prefix for each in ranges)}):
        for number in sorted(numbers):
            yield f"{prefix}{number}"


def _bounded(bench: Bench) -> tuple[Bench, int]:
    """The bench with its likeliest causes alone, and how many were left out; their share goes to the leak."""
    case = bench.case
    if len(case.causes) <= MOST_CAUSES:
        return bench, 0
    kept = sorted(sorted(range(len(case.causes)), key=lambda at: -case.causes[at].prior)[:MOST_CAUSES])
    causes = tuple(case.causes[at] for at in kept)
    checks = tuple(
        type(each)(each.id, each.minutes, tuple(each.fails[at] for at in kept), each.leak, each.access)
        for each in case.checks
    )
    leak = 1 - sum(each.prior for each in causes)
    smaller = Case(causes, checks, leak, case.leak_minutes, case.opening)
    suspects = {each.id: bench.suspects[each.id] for each in causes}
    made = Bench(bench.model, bench.revisions, smaller, suspects, bench.checks, bench.flow)
    return made, len(case.causes) - len(kept)


def _suspects(benches: Iterable[Bench]) -> dict[str, Suspect]:
    """Every suspect of every state; a block and a fault never share a page's case, but may share an id."""
    return {f"{each.kind} {key}": each for bench in benches for key, each in bench.suspects.items()}


def _rates(benches: Iterable[Bench]) -> dict[float, int]:
    """Each rate once, with its place: most of them are the same few expectations."""
    every = (rate for bench in benches for check in bench.case.checks for rate in check.fails)
    return {rate: place for place, rate in enumerate(dict.fromkeys(every))}


def _case(
    bench: Bench,
    left_out: int,
    places: Mapping[str, int],
    rates: Mapping[float, int],
    blocks: Mapping[str, int],
) -> dict[str, Any]:
    case = bench.case
    return {
        "revisions": list(bench.revisions),
        "causes": [_numbers(bench, cause, places) for cause in case.causes],
        "checks": [
            [each.id, each.minutes, each.access, [rates[rate] for rate in each.fails]] for each in case.checks
        ],
        "leak": case.leak,
        "leakMinutes": case.leak_minutes,
        "opening": dict(case.opening),
        **_flow(bench, blocks),
        "leftOut": left_out,
    }  # fmt: skip


def _numbers(bench: Bench, cause: Cause, places: Mapping[str, int]) -> list[Any]:
    """Place among all causes, prior, minutes, access, remedy, found so often, of so many."""
    suspect = bench.suspects[cause.id]
    place = places[f"{suspect.kind} {cause.id}"]
    return [place, cause.prior, cause.minutes, cause.access, cause.remedy, suspect.count, suspect.n]


def _flow(bench: Bench, blocks: Mapping[str, int]) -> dict[str, Any]:
    """Blocks and arrows by place, and for each checked block those that can spoil its reading."""
    flow, found = bench.flow, cones(bench.flow)
    checked = {check.block for check in bench.checks.values()}
    return {
        "flow": [blocks[each] for each in flow.blocks],
        "feeds": [[blocks[source], blocks[target]] for source, target in flow.feeds],
        "cones": {
            blocks[each]: [blocks[other] for other in flow.blocks if other in found[each]]
            for each in flow.blocks
            if each in checked
        },
    }


def _revision(facts: ModelFacts, identifier: str) -> dict[str, Any]:
    revision = facts.revision(identifier)
    return {
        "id": identifier,
        "name": revision.name or "",
        "sight": list(revision.by_sight),
        "ranges": [
            {"prefix": each.prefix, "low": each.low, "high": each.high, "text": each.text}
            for each in facts.ranges[identifier]
        ],
    }


def _check(sheet: Sheet, facts: ModelFacts, check: Check) -> dict[str, Any]:
    span = check.good.span
    return {
        "id": check.id,
        "block": check.block,
        "good": check.good.text,
        "span": [span.low, span.high, span.dimension] if span else None,
        "units": units_for(check.good.text, span) if span else [],
        "hazards": _called(check_cautions(sheet.desk.shop, facts.id, check)),
    }


def units_for(text: str, span: Span) -> list[str]:
    """The units to choose from beside a reading, the one that the record itself uses first."""
    usual = _UNITS.get(span.dimension, ())
    written = re.findall(r"(?<=[0-9])\s*([^\W\d]+|%)", text)
    own = [each for each in written[-1:] if each != "to"]
    return list(dict.fromkeys([*own, *usual]))


def _cause(sheet: Sheet, facts: ModelFacts, suspect: Suspect) -> dict[str, Any]:
    target = suspect.id if suspect.kind == "fault" else f"{facts.id}/{suspect.id}"
    return {
        "id": suspect.id,
        "kind": suspect.kind,
        "title": suspect.title,
        "href": sheet.link(address(suspect.kind, target)),
        "block": suspect.block,
        "confirmed": suspect.confirmed,
        "hazards": _called(confirm_cautions(sheet.desk.shop, facts.id, suspect)),
    }


def _called(cautions: Iterable[Caution]) -> Called:
    return [[each.hazard.id, each.reason] for each in cautions]


def _symptoms(sheet: Sheet, causes: Mapping[str, Suspect], to_words: ToWords) -> dict[str, Any]:
    """The symptoms to choose from with their words as numbers, and which of them each cause is told by."""
    faults = sheet.desk.shop.faults
    told = [faults[each.id].record.symptoms if each.kind == "fault" else () for each in causes.values()]
    wording = {text.casefold(): text for texts in told for text in reversed(texts)}
    texts = [wording[key] for key in sorted(wording)]
    every = sorted({word for text in texts for word in to_words(text)} | _other_words(told, to_words))
    number = {word: place for place, word in enumerate(every)}

    def numbers(text: str) -> list[int]:
        return sorted(number[word] for word in to_words(text))

    return {
        "symptoms": [[text, numbers(text)] for text in texts],
        "told": [[numbers(text) for text in texts] for texts in told],
    }


def _other_words(told: Iterable[tuple[str, ...]], to_words: ToWords) -> set[str]:
    """The words of every wording, also of one that is shown under another's capitals."""
    return {word for texts in told for text in texts for word in to_words(text)}
