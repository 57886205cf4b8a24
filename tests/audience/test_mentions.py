"""The jobs a text can mean are found without going through all of them, and none is missed."""

from __future__ import annotations

import random
from dataclasses import replace

from kb.audience.mentions import Mentions, letters_of, marks_of
from kb.reading import Located
from kb.records import Job
from tests.benches import small_shop


def jobs(count: int, dice: random.Random) -> list[Located[Job]]:
    """Jobs with short numbers, so that chance lets one stand within another."""
    first = small_shop().jobs["2026-pacer-0007"]
    made = []
    for number in range(count):
        serial = dice.choice((*["PA-{:04}"] * 6, "{}", "no plate")).format(dice.randint(0, 300))
        customer = dice.choice((None, f"ref-{dice.randint(1, 90)}", f"Orr-{number} & Dunn"))
        record = first.record.model_copy(update={"serial": serial, "customer": customer})
        made.append(replace(first, id=f"2026-{number}", record=record))
    return made


def test_exactly_those_are_found_of_which_a_mark_stands_in_the_text() -> None:
    dice, counts = random.Random(7), set()
    known = jobs(60, dice)
    for words in (
        "as on number 12",
        "see 2026-31",
        "for ref-8, as ref 17 told",
        "Dunn",
        "",
        "2026-5 and PA 299b",
    ):
        letters = letters_of(words)
        expected = [each.id for each in known if any(mark in letters for mark in marks_of(each))]
        assert [each.id for each in Mentions(known).possible(letters)] == expected
        counts.add(len(expected))
    assert len(counts) > 2, "the texts were to mean different jobs"
