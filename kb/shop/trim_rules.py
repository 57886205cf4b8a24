"""What must hold for a model's trims: an order in which no trim spoils an earlier one unnoticed.

A trim that disturbs an earlier one is a mistake in the order, unless it says to which one to go back.
"""

from __future__ import annotations

from collections.abc import Iterator

from kb.problems import Problem, did_you_mean
from kb.reading import Located
from kb.reading.located import Step
from kb.records import Model
from kb.records.trim import Trim
from kb.shop.references import not_among, repeated
from kb.shop.shop import ModelFacts

TRIMS: tuple[Step, ...] = ("calibration", "trims")


def broken(model: Located[Model]) -> Iterator[Problem]:
    """Every rule the trims of a model break."""
    if model.record.calibration is None:
        return
    trims = model.record.calibration.trims
    blocks = [each.id for each in model.record.blocks]
    revisions = [each.id for each in model.record.revisions]
    yield from repeated(model, TRIMS, "trim", [each.id for each in trims])
    for number, trim in enumerate(trims):
        yield from not_among(model, (*TRIMS, number, "block"), "block", trim.block, blocks)
        for at, revision in enumerate(trim.revisions):
            yield from not_among(model, (*TRIMS, number, "revisions", at), "revision", revision, revisions)
        yield from _order(model, trims, number)
        yield from _tracks_twice(model, trims, number)


def _order(model: Located[Model], trims: tuple[Trim, ...], number: int) -> Iterator[Problem]:
    trim = trims[number]
    places = {each.id: at for at, each in enumerate(trims)}
    back = number
    if trim.go_back_to is not None:
        path = (*TRIMS, number, "go_back_to")
        back = places.get(trim.go_back_to, number)
        if trim.go_back_to not in places:
            what = f'there is no trim "{trim.go_back_to}"'
            yield model.problem(path, what, did_you_mean(trim.go_back_to, places))
        elif back >= number:
            what = f'"{trim.go_back_to}" does not come before "{trim.id}"'
            yield model.problem(path, what, "name an earlier trim, or leave go_back_to out")
    for at, other in enumerate(trim.disturbs):
        path = (*TRIMS, number, "disturbs", at)
        if other not in places:
            yield model.problem(path, f'there is no trim "{other}"', did_you_mean(other, places))
        elif other == trim.id:
            yield model.problem(path, f'"{other}" disturbs itself', "leave it out")
        elif places[other] < back and _on_one_unit(model, trim, trims[places[other]]):
            what = f'"{trim.id}" disturbs "{other}", which comes before it'
            yield model.problem(path, what, f"put it before that one, or write go_back_to: {other}")


def _tracks_twice(model: Located[Model], trims: tuple[Trim, ...], number: int) -> Iterator[Problem]:
    """A calculation can name one trimmer for the scale of a unit, not two."""
    trim = trims[number]
    for other in trims[:number]:
        if trim.tracks and trim.tracks == other.tracks and _on_one_unit(model, trim, other):
            what = f'"{other.id}" is {trim.tracks} already'
            yield model.problem((*TRIMS, number, "tracks"), what, "leave it out at one of them")


def _on_one_unit(model: Located[Model], one: Trim, other: Trim) -> bool:
    """Whether some revision has both trims."""
    facts = ModelFacts(model.id, model.record)
    return bool(set(facts.revisions_of(one.revisions)) & set(facts.revisions_of(other.revisions)))
