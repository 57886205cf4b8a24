"""The text alternative, and fitting words into boxes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.drawings import Flow, FlowBlock, FlowLink, describe_flow
from kb.drawings.lettering import clean, shorten, width_of, wrap

DELAY = Flow(
    (
        FlowBlock("in", "input stage", test_point="TP1", state="cleared"),
        FlowBlock("rec", "Record amplifier", state="suspect"),
        FlowBlock("mix", "Mixer", test_point="TP5"),
        FlowBlock("motor", "Motor servo"),
        FlowBlock("lamp", "Lamp"),
    ),
    (
        FlowLink("in", "rec"),
        FlowLink("in", "mix", "dry"),
        FlowLink("rec", "mix"),
        FlowLink("rec", "mix"),
        FlowLink("mix", "rec", "repeats"),
        FlowLink("motor", "motor"),
    ),
    "Tape delay",
)


def test_the_description_says_what_the_drawing_shows() -> None:
    assert describe_flow(DELAY) == (
        "Input stage feeds Record amplifier and Mixer (dry). Record amplifier feeds Mixer. "
        "Mixer feeds back to Record amplifier (repeats). Motor servo feeds back to itself. "
        "No link to or from Lamp. Test points: TP1 at input stage and TP5 at Mixer. "
        "Cleared: input stage. Suspect: Record amplifier."
    )


def test_a_list_of_targets_reads_like_a_sentence() -> None:
    blocks = tuple(FlowBlock(name, name) for name in ("clock", "divider", "gate", "counter"))
    links = tuple(FlowLink("clock", name) for name in ("divider", "gate", "counter"))
    assert describe_flow(Flow(blocks, links, "Clock")) == "Clock feeds divider, gate and counter."


def test_blocks_of_one_name_are_told_apart_by_their_id() -> None:
    flow = Flow(
        (FlowBlock("vca-1", "Amplifier"), FlowBlock("vca-2", "Amplifier")), (FlowLink("vca-1", "vca-2"),), ""
    )
    assert describe_flow(flow) == "Amplifier (vca-1) feeds Amplifier (vca-2)."


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("Clock", ("Clock",)),
        ("Tempo divider", ("Tempo", "divider")),
        ("One-of-sixteen decoder", ("One-of-", "sixteen", "decoder")),
        ("Gate/trigger", ("Gate/", "trigger")),
        ("", ()),
    ],
)
def test_a_name_breaks_between_words_and_after_hyphens(name: str, lines: tuple[str, ...]) -> None:
    assert wrap(name, 70, 14, 3) == lines


def test_a_word_too_long_for_the_box_is_broken_with_a_hyphen() -> None:
    lines = wrap("Potentiometers", 80, 14, 3)
    assert len(lines) == 2
    assert lines[0].endswith("-")
    assert "".join(lines).replace("-", "") == "Potentiometers"


@given(text=st.text(), room=st.integers(40, 200), most=st.integers(1, 3))
def test_wrapped_lines_never_exceed_the_box(text: str, room: int, most: int) -> None:
    lines = wrap(clean(text), room, 14, most)
    assert len(lines) <= most
    assert all(width_of(line, 14) <= room for line in lines)


@given(text=st.text(), room=st.integers(20, 200))
def test_shortened_text_fits_and_says_that_it_was_shortened(text: str, room: int) -> None:
    tidy = clean(text)
    short = shorten(tidy, room, 12)
    assert width_of(short, 12) <= room
    assert short == tidy or short.endswith("\u2026")


def test_joined_pictures_are_kept_whole() -> None:
    technician = "\U0001f469\u200d\U0001f527"
    assert technician in shorten(f"{technician} bench", 60, 12)
    assert "\u200d\u2026" not in shorten(technician * 9, 60, 12)


@given(text=st.text())
def test_clean_text_is_one_line_that_stays_clean(text: str) -> None:
    tidy = clean(text)
    assert clean(tidy) == tidy
    assert tidy == tidy.strip()
    assert "\n" not in tidy
