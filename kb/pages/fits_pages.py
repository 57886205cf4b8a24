"""What fits what: an overview of all sockets, and a page for each model with its partners and its cures.

The pages grow with the sockets of one model and not with all pairs: a large shop's overview lists units only,
and a page works out no more cures than its share.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from kb.calculators.one_shot_names import NAMES, resolve
from kb.fits import FAILS, FITS, Cure, Fit, Socket, cure
from kb.fits.matrix import counted
from kb.fits.stages import Step, run
from kb.pages.fits_view import (
    ORDER,
    anchor,
    bench_data,
    described,
    gate_command,
    margins_of,
    page_of,
    shown,
    tally,
)
from kb.pages.pageset import Page, SearchText
from kb.pages.rendering import render
from kb.pages.sheet import Desk, Sheet
from kb.problems import did_you_mean
from kb.records import CalculationText

MOST_CELLS = 600
MOST_COLUMNS = 14
"""A kind with more cells or more inputs than this is listed by unit and gets no matrix of its own."""

MOST_PARTNERS = 120
"""A socket with more partners than this lists those that fit first, and tells how many are left out."""

MOST_WORKED = 32
MOST_WORKED_IN_ALL = 200
"""How many failing pairs are worked out on one page, and in the whole site; all carry their command."""

KINDS = (("pulses", "Gates, triggers and clocks"), ("pitch", "Pitch"), ("control", "Control"),
         ("audio", "Audio"), ("data", "Data"))  # fmt: skip
STYLE, SCRIPTS = "halfsplit/fits.css", ("halfsplit/fits.js",)
NO_CURE = (
    "No cure is worked out for this: nothing that could be put between makes it work. Take another socket."
)


Cures = Mapping[str, tuple[Fit, Cure | None]]
"""The pairs that a page works out, by the anchor of their line."""


def fits_pages(desk: Desk) -> Iterator[Page]:
    """The overview and a page for each model with sockets; none where no model has any."""
    _check_one_shots(desk)
    models = list(dict.fromkeys(each.model for each in desk.matrix.sockets))
    if models:
        yield _overview(desk, models)
    share = max(1, min(MOST_WORKED, MOST_WORKED_IN_ALL // max(1, len(models))))
    for model in models:
        yield _unit_page(desk, model, share)


def _check_one_shots(desk: Desk) -> None:
    """A type number that no data sheet is known for would quietly lose its cures."""
    for located in desk.shop.models.values():
        for number, port in enumerate(located.record.ports):
            if port.one_shot and resolve(port.one_shot.device) is None:
                what = f'no one-shot "{port.one_shot.device[:40]}" is known'
                path = ("ports", number, "one_shot", "device")
                desk.disagreements.add(located.problem(path, what, did_you_mean(port.one_shot.device, NAMES)))


def _overview(desk: Desk, models: Sequence[str]) -> Page:
    sheet = desk.sheet("fits/index.html")
    on_top = sheet.cautions_before(*(each.name for each in desk.matrix.sockets))
    units_heading = sheet.section("units", "Choose a unit")
    groups = [group for kind, title in KINDS if (group := _group(sheet, kind, title))]
    body = render(
        "fits.html", on_top=on_top, bench=_bench(sheet), legend=_legend(), units_heading=units_heading,
        units=[_unit_row(sheet, model) for model in models], groups=groups,
    )  # fmt: skip
    words = ("sockets", "connect", "patch", "gate", "trigger", "clock", "pitch", "level", "compatible")
    search = SearchText("What fits what", words, ())
    summary = "Which output works which input, with its margin and the cure"
    return Page(sheet.path, "What fits what", "fits", body, summary, tuple(sheet.headings), search)


def _group(sheet: Sheet, kind: str, title: str) -> dict[str, Any] | None:
    """The matrix of one kind; only its size where that would be too much for a page."""
    matrix = sheet.desk.matrix
    outputs = [each for each in matrix.outputs if each.kind == kind]
    inputs = [each for each in matrix.inputs if each.kind == kind]
    if not outputs or not inputs:
        return None
    is_small = len(inputs) <= MOST_COLUMNS and len(outputs) * len(inputs) <= MOST_CELLS
    shown_rows = outputs if is_small else []
    return {
        "title": title, "heading": sheet.section(kind, title), "outputs": len(outputs), "inputs": inputs,
        "rows": [(each, [_cell(sheet, matrix.pair(each, other)) for other in inputs]) for each in shown_rows],
    }  # fmt: skip


def _cell(sheet: Sheet, pair: Fit) -> dict[str, Any]:
    return {"shown": shown(pair.verdict), "href": sheet.link(f"{page_of(pair.output.model)}#{anchor(pair)}")}


def _unit_row(sheet: Sheet, model: str) -> dict[str, Any]:
    matrix = sheet.desk.matrix
    gives, takes = (
        counted(pair for socket in matrix.of(model, way) for pair in matrix.partners(socket))
        for way in ("out", "in")
    )
    title = sheet.desk.shop.facts[model].model.name
    return {
        "id": model,
        "title": title,
        "href": sheet.link(page_of(model)),
        "gives": tally(gives),
        "takes": tally(takes),
    }


def _unit_page(desk: Desk, model: str, share: int) -> Page:
    sheet, facts = desk.sheet(page_of(model)), desk.shop.facts[model]
    sheet.expect_reservoirs(facts.model.supply.reservoirs if facts.model.supply else ())
    outputs, inputs = desk.matrix.of(model, "out"), desk.matrix.of(model, "in")
    failing = [pair for each in outputs for pair in _listed(desk, each)[0] if pair.verdict == FAILS]
    # Where only problems are looked for nobody reads the cures, and they take most of the time.
    worked = {anchor(pair): (pair, cure(pair)) for pair in failing[:share]} if desk.draws else {}
    on_top = sheet.cautions_before(*_words(desk, (*outputs, *inputs)))
    body = render(
        "fits-unit.html", on_top=on_top, bench=_bench(sheet), legend=_legend(), facts=facts,
        model=sheet.to("model", model), overview=sheet.link("fits/index.html"),
        outputs=[_socket(sheet, each, worked) for each in outputs],
        inputs=[_socket(sheet, each, worked) for each in inputs],
        worked=_worked(sheet, model, tuple(worked.values())), left_out=max(0, len(failing) - share),
    )  # fmt: skip
    title = f"What fits the {facts.model.name}"
    return Page(sheet.path, title, "fits", body, "Partners of every socket", tuple(sheet.headings))


def _words(desk: Desk, own: Sequence[Socket]) -> Iterator[str]:
    """All that the lists say in a record's words: of the own sockets, of their partners, and of the cures."""
    others = (end for each in own for pair in desk.matrix.partners(each) for end in (pair.output, pair.input))
    for socket in dict.fromkeys((*own, *others)):
        yield from (socket.name, socket.connector)
        if socket.one_shot:
            yield from (socket.one_shot.device, socket.one_shot.where)


def _listed(desk: Desk, socket: Socket) -> tuple[tuple[Fit, ...], int]:
    """The partners a page lists, and how many it leaves out."""
    partners = desk.matrix.partners(socket)
    if len(partners) <= MOST_PARTNERS:
        return partners, 0
    best = sorted(partners, key=lambda each: ORDER.index(each.verdict))
    return tuple(best[:MOST_PARTNERS]), len(partners) - MOST_PARTNERS


def _socket(sheet: Sheet, socket: Socket, worked: Cures) -> dict[str, Any]:
    pairs, left_out = _listed(sheet.desk, socket)
    is_output = socket.direction == "out"
    title = socket.name if is_output else f"Into {socket.name}"
    return {
        "socket": socket, "heading": sheet.section(socket.id, title), "described": described(socket),
        "rows": [_row(sheet, pair, worked) if is_output else _back_row(sheet, pair) for pair in pairs],
        "left_out": left_out,
    }  # fmt: skip


def _row(sheet: Sheet, pair: Fit, worked: Cures) -> dict[str, Any]:
    here = anchor(pair)
    return {
        "pair": pair, "other": pair.input, "id": here, "shown": shown(pair.verdict),
        "page": sheet.link(f"{page_of(pair.input.model)}#{pair.input.id}"),
        "margins": margins_of(pair), "described": described(pair.input),
        "worked": f"#worked-{here}" if here in worked else None, "command": gate_command(pair),
        "cure": worked[here][1] if here in worked else None,
    }  # fmt: skip


def _back_row(sheet: Sheet, pair: Fit) -> dict[str, Any]:
    """An output that would drive this input; all about it stands on the output's own page."""
    where = sheet.link(f"{page_of(pair.output.model)}#{anchor(pair)}")
    return {"pair": pair, "other": pair.output, "shown": shown(pair.verdict), "page": where}


def _worked(sheet: Sheet, model: str, found: Sequence[tuple[Fit, Cure | None]]) -> Markup:
    """The failing pairs with their calculations, below the cautions of the unit that may be opened."""
    if not found:
        return Markup("")
    heading = sheet.section("worked", "Worked out")
    does = [stage.do for _, each in found if each for stage in each.stages]
    cautions = sheet.cautions_before(*does, declared=sheet.desk.shop.facts[model].model.hazards)
    pairs = [_working(sheet, pair, each) for pair, each in found]
    return render("fits-worked.html", heading=heading, cautions=cautions, pairs=pairs)


def _working(sheet: Sheet, pair: Fit, found: Cure | None) -> dict[str, Any]:
    steps = [Step(pair.calculation[0], pair.calculation[1], "As it is")] if pair.calculation else []
    stages = found.stages if found else ()
    return {
        "pair": pair, "id": f"worked-{anchor(pair)}", "back": f"#{anchor(pair)}",
        "shown": shown(pair.verdict), "command": gate_command(pair), "no_cure": NO_CURE, "cure": found,
        "blocks": [_block(sheet, step) for step in steps],
        "stages": [(stage.do, [_block(sheet, step) for step in stage.steps]) for stage in stages],
        "after": found and {"shown": shown(found.after.verdict), "margins": margins_of(found.after)},
    }  # fmt: skip


def _block(sheet: Sheet, step: Step) -> Markup:
    """The block of a step; units with like sockets ask for the same ones, and no block knows its page."""
    key = (step.calculator, tuple(step.inputs.items()), step.about)
    kept, calculation = sheet.desk.briefs, run(step)
    if key not in kept:
        written = CalculationText(name=step.calculator, inputs=dict(step.inputs), about=step.about)
        kept[key] = sheet.brief(calculation, written) if calculation else Markup("")
    return kept[key]


def _bench(sheet: Sheet) -> Markup:
    """The filter, which a script makes work; without one every row is shown."""
    data = bench_data(sheet.desk)
    scripts = [sheet.link(each) for each in SCRIPTS]
    return render("_fits_bench.html", data=data, style=sheet.link(STYLE), scripts=scripts)


def _legend() -> list[tuple[str, str, str]]:
    meanings = (
        "with room to spare for the worst parts", "works, with little to spare: it comes back one day",
        "as it is; see what cures it", "something is not on record",
    )  # fmt: skip
    return [(shown(each).sign, each, meaning) for each, meaning in zip(ORDER, meanings, strict=True)]


def plays_with(sheet: Sheet, model: str, most: int) -> list[tuple[str, str, str]]:
    """The partners of a model by name, with a link and how many of the pairs of sockets do what."""
    matrix, shop = sheet.desk.matrix, sheet.desk.shop

    def key(item: tuple[str, Counter[Any]]) -> tuple[int, str]:
        return -item[1][FITS], shop.facts[item[0]].model.name.lower()

    best = sorted(matrix.by_partner(model).items(), key=key)[:most]
    return [
        (shop.facts[other].model.name, sheet.link(page_of(other)), tally(counts)) for other, counts in best
    ]
