"""Faults of an invented bench to search in: three instruments, few faults written by hand, many made up."""

from __future__ import annotations

import random

from kb.pages.search_files import search_assets
from kb.search import Narrowing, SymptomIndex, files_of
from kb.search.faults import FoundFault, Instrument, Place
from kb.search.synonyms import phrases_for
from tests.search.bench_pages import LOOK_ALIKES

PACER = Instrument(
    "pacer", "Pacer",
    (("a", (("PA", 1, 199),)), ("b", (("PA", 200, None),))),
    (Place("clock", "Clock", "master-clock"), Place("shaper", "Trigger shaper", "one-shot"),
     Place("supply", "Supply", "power-supply", ("mains",))),
)  # fmt: skip
TALLY = Instrument(
    "tally", "Tally", (("one", ((("TL7"), None, 50),)), ("two", (("TL7", 51, 90),))),
    (Place("outputs", "Trigger outputs", "one-shot"), Place("psu", "Mains part", "power-supply", ("mains",)),
     Place("memory", "Memory", "memory", ("batteries",))),
)  # fmt: skip
LULL = Instrument("lull", "Lull", (("a", ()),), (Place("motor", "Motor", "motor"),))
MODELS = (PACER, TALLY, LULL)
BOTH = ("one", "two")


def fault(
    identifier: str, model: str, block: str, *symptoms: str, on: tuple[str, ...] = ("a", "b"), seen: int = 0,
    hazards: tuple[str, ...] = (), title: str = "", story: str = "Nothing more is known.",
) -> FoundFault:  # fmt: skip
    """One fault of one model."""
    return FoundFault(
        identifier, f"faults/{identifier}.html", title or identifier.replace("-", " ").capitalize(), symptoms,
        (story,), ((model, on),), block, hazards, seen,
    )  # fmt: skip


FAULTS = (
    fault("r14-too-small", "pacer", "shaper", "envelope does not start", "sounds thin", on=("a",), seen=1),
    fault("ic9-exchanged", "pacer", "shaper", "no gate out at all", on=("b",)),
    fault("weak-driver", "tally", "outputs", "misses notes when warm", "drum is late", on=BOTH, seen=9),
    fault("crystal-cracked", "pacer", "clock", "the clock stalls after an hour", seen=3),
    fault("reservoir-dry", "pacer", "supply", "loud hum on all outputs", hazards=("mains",)),
    fault("ground-loop", "tally", "psu", "buzzes with a lead in", on=("one",), hazards=("mains",)),
    fault("pack-leaked", "tally", "memory", "patterns gone after a night", on=BOTH, hazards=("batteries",)),
    fault("belt-old", "lull", "motor", "the echo wobbles, never hums", on=("a",)),
    fault("gate-far-apart", "lull", "motor", "the gate broke, no key fits, it sorts out late", on=("a",)),
)  # fmt: skip

QUERIES = (
    *(
        "no gate out",
        "envelope doesn't start",
        "misses notes",
        "won't trigger",
        "wont trigger",
        "ENVELOPE NOT STARTING",
    ),
    *(
        "clock stops",
        "clock freezes",
        "clock",
        "clok stalls",
        "hum",
        "humm",
        "no hum",
        "does not hum",
        "buzz when warm",
    ),
    *(
        "dead",
        "no power",
        "dead battery",
        "forgets patterns",
        "lost memory",
        "wobbly",
        "gate",
        "gate ou",
        "no gate ou",
    ),
    *(
        "it will not trigger on step one",
        "no sound, no lights",
        "the",
        "",
        "on",
        "r14",
        "thin sound",
        "late drum",
    ),
    "it is dead and hums, misses notes, the clock stops, forgets patterns, crackles and the lamp is dark",
    *("<script>", "constructor", "__proto__", "=00", "=0", "x" * 400, "envelpe doesn't start", "İ", "µ"),
)
"""What people type, and what they might: asked of Python, of the browser and of the terminal alike."""

NARROWINGS = (
    Narrowing(),
    Narrowing(model="pacer"),
    Narrowing(model="tally"),
    Narrowing(serial="PA-0100"),
    Narrowing(serial="pa 0250"),
    Narrowing(serial="60"),
    Narrowing(model="tally", serial="TL7-60"),
    Narrowing(model="tally", serial="999"),
    Narrowing(block="one-shot"),
    Narrowing(block="supply"),
    Narrowing(model="pacer", block="shaper"),
    Narrowing(model="pacer", block="one-shot"),
    Narrowing(model="lull"),
    Narrowing(hazard="mains"),
    Narrowing(model="pacer", hazard="mains"),
    Narrowing(model="nobody"),
    Narrowing(hazard="unheard-of"),
)


def made_up_faults(count: int, seed: int = 11) -> list[FoundFault]:
    """Faults in words that are easily taken for each other, all over the three instruments."""
    chance = random.Random(seed)
    words = [*LOOK_ALIKES.split(), *" ".join(QUERIES[:30]).split()]
    found = []
    for number in range(count):
        model = chance.choice(MODELS)
        revisions = tuple(each for each, _ in model.revisions if chance.random() < 0.7) or (
            model.revisions[0][0],
        )
        block = chance.choice(model.blocks)
        symptoms = tuple(" ".join(chance.choices(words, k=5)) for _ in range(1 + number % 3))
        found.append(
            fault(f"made-up-{number:04}", model.id, block.id, *symptoms, on=revisions, seen=number % 13,
                  hazards=block.hazards, title=" ".join(chance.choices(words, k=4)),
                  story=" ".join(chance.choices(words, k=25)))
        )  # fmt: skip
    return found


def symptom_assets(faults: tuple[FoundFault, ...] = FAULTS, own: tuple[tuple[str, ...], ...] = ()) -> tuple:  # type: ignore[type-arg]
    """The files of a search over faults alone."""
    return search_assets((), phrases_for(own), faults, MODELS)


def symptom_index(
    faults: tuple[FoundFault, ...] = FAULTS, own: tuple[tuple[str, ...], ...] = ()
) -> SymptomIndex:
    """The index of symptoms of these faults."""
    return SymptomIndex(files_of(symptom_assets(faults, own)))


def ids(index: SymptomIndex, words: str, narrowing: Narrowing = Narrowing()) -> list[str]:  # noqa: B008 - frozen
    """The faults that answer, best first."""
    return [
        index.index.row(hit.number)[0][len("faults/") : -len(".html")] for hit in index.find(words, narrowing)
    ]
