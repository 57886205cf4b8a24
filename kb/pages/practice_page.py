"""Practice on a model: the page plays a unit with a fault from the shop's records, and the learner finds it.

The answer is in the page's data and nowhere to be seen. What the bench page itself would have done with the
same readings is worked out by its own scripts, so the comparison is with the real thing.
"""

from __future__ import annotations

from kb.pages.addresses import address
from kb.pages.bench_data import bench_data
from kb.pages.bench_page import SCRIPTS as BENCH_SCRIPTS
from kb.pages.bench_page import check_rows
from kb.pages.exercise_view import STYLE
from kb.pages.pageset import Page
from kb.pages.practice_data import practice_data, practice_path, units_of
from kb.pages.rendering import render
from kb.pages.sheet import Desk

SCRIPTS = (
    # The bench page's face is not wanted, only what it works things out with.
    *(each for each in BENCH_SCRIPTS if each != "halfsplit/bench.js"),
    "halfsplit/course.js", "halfsplit/practice.js",
)  # fmt: skip


def practice_pages(desk: Desk, identifier: str) -> list[Page]:
    """The page of the model with that id; none where too little is on record to play a unit."""
    if not units_of(desk, identifier):
        return []
    located, facts = desk.shop.models[identifier], desk.shop.facts[identifier]
    sheet = desk.sheet(practice_path(identifier))
    supply = facts.model.supply
    sheet.expect_reservoirs(supply.reservoirs if supply else ())
    units = practice_data(sheet, identifier)
    rows = check_rows(sheet, located, facts)
    data = {"bench": bench_data(sheet, facts), "units": units}
    body = render(
        "practice.html", facts=facts, model=sheet.to("model", identifier), rows=rows,
        bench=sheet.link(address("bench", identifier)), data=data, shop=desk.shop.card.record.name,
        count=len(units), style=sheet.link(STYLE), scripts=[sheet.link(each) for each in SCRIPTS],
    )  # fmt: skip
    title = f"Practice on the {facts.model.name}"
    summary = f"Find faults that were on this bench: {len(units)} units"
    return [Page(sheet.path, title, "practice", body, summary)]
