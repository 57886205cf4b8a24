"""The table of hazards: complete, and every caution in it gives way to local codes and licensed practice."""

from __future__ import annotations

import re

import pytest

from kb.records import HAZARD_IDS
from kb.safety import DEFERENCE, Hazard, hazards, hazards_named

TABLE = tuple(hazards().values())


def test_the_hazards_are_those_a_record_may_declare() -> None:
    assert set(hazards()) == set(HAZARD_IDS)


@pytest.mark.parametrize("hazard", TABLE, ids=lambda hazard: hazard.id)
class TestEachHazard:
    def test_the_shop_is_sent_to_local_codes_and_licensed_practice(self, hazard: Hazard) -> None:
        text = " ".join(hazard.shop)
        assert re.search(r"[Ll]ocal (?:codes|rules)", text)
        assert re.search(r"licensed (?:practice|people)|somebody licensed", text)

    def test_a_customer_is_sent_to_a_licensed_repairer(self, hazard: Hazard) -> None:
        assert "sk a licensed repairer" in " ".join(hazard.customer)

    def test_a_customer_is_told_of_nothing_to_do_inside(self, hazard: Hazard) -> None:
        text = " ".join(hazard.customer).lower()
        for word in ("discharge", "measure", "solder", "remove", "unscrew", "open the case and"):
            assert word not in text.replace("do not open the case and do not", "")

    def test_it_has_a_title_and_words(self, hazard: Hazard) -> None:
        assert hazard.title
        assert hazard.words
        assert len(set(hazard.words)) == len(hazard.words)

    def test_its_words_are_written_small_and_plain(self, hazard: Hazard) -> None:
        assert [word for word in hazard.words if word != word.lower().strip() or "  " in word] == []


def test_no_word_stands_for_two_hazards() -> None:
    words = [word for hazard in TABLE for word in hazard.words]
    assert len(words) == len(set(words))


def test_what_comes_first_is_said_in_one_sentence() -> None:
    assert DEFERENCE == "Local codes and licensed practice come first."


WORDS = [(hazard.id, word) for hazard in TABLE for word in hazard.words]


@pytest.mark.parametrize(("hazard", "word"), WORDS)
def test_every_word_names_its_hazard_however_it_is_written(hazard: str, word: str) -> None:
    for text in (
        word, word.upper(), word.capitalize(), f"the {word}.", f"({word})", f"“{word}”", f"{word}, then",
        word.replace(" ", "  "), word.replace(" ", "\n"), word.replace(" ", "-"), word.replace(" ", "\u00a0"),
        word.replace(" ", "\u2011"),
    ):  # fmt: skip
        assert hazard in [each.hazard for each in hazards_named(text)], text


COUNTED = [(hazard, word) for hazard, word in WORDS if word[-1] not in "sy"]


@pytest.mark.parametrize(("hazard", "word"), COUNTED)
def test_a_word_in_the_plural_names_it_too(hazard: str, word: str) -> None:
    plural = word + ("es" if word.endswith(("ch", "x", "sh")) else "s")
    assert hazard in [each.hazard for each in hazards_named(f"all {plural} of it")]


@pytest.mark.parametrize(
    ("text", "hazard"),
    [
        ("set it to 230V", "mains"),
        ("230 VAC at the inlet", "mains"),
        ("about 120 volts", "mains"),
        ("220-240 V", "mains"),
        ("230-V winding", "mains"),
        ("the mains-powered version", "mains"),
        ("power supplies of that age", "stored-energy"),
        ("take the PSU out", "stored-energy"),
        ("high-tension side", "high-voltage"),
        ("unsolder one leg", "chemicals"),
        ("Ni-Cd pack", "batteries"),
    ],
)
def test_other_ways_to_write_it(text: str, hazard: str) -> None:
    assert hazard in [each.hazard for each in hazards_named(text)]


def test_a_phrase_names_every_hazard_in_it_in_the_order_of_the_table() -> None:
    found = hazards_named("solder the mains transformer of the power supply, then fit the battery")
    assert [each.hazard for each in found] == ["mains", "stored-energy", "batteries", "chemicals"]
    assert [each.word for each in found] == ["mains", "power supply", "battery", "solder"]


def test_a_hazard_is_named_once_by_its_first_word() -> None:
    (found,) = hazards_named("Fuse and mains and fuse")
    assert (found.hazard, found.word) == ("mains", "Fuse")


@pytest.mark.parametrize(
    "text",
    [
        "The clock remains on step one.",
        "It refuses every second start and confuses the follower.",
        "A transform of the signal; the waveform is regular.",
        "The domain of the filter is mainstream.",
        "Measure 0.230 V at TP3.",
        "The offset is 5.120 V, or 5,120 V with a comma.",
        "Read 12 V, 15 V and 24 V against ground.",
        "1120 V/us is its slew rate.",
        "An influx of orders kept us busy.",
        "The lead voice is louder than the rest.",
        "A line of eight lamps, one for every step.",
        "The earth tone of the panel is original.",
        "Turn the heat down before the demo.",
        "Press the key and hold it.",
        "The batter of the drum is worn.",
        "A solderless board will do for the test.",
        "Every primary step plays twice.",
        "The accumulated error after an hour is two beats.",
        "The counter advances through all stages.",
        "The tension between the two notes is intended.",
        "Plug the jack in; the socket is loose.",
        "The case is heavy with dust.",
        "",
    ],
)
def test_no_caution_where_there_is_no_danger(text: str) -> None:
    assert hazards_named(text) == ()
