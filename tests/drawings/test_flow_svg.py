"""What stands in the SVG: safe against any text, the same bytes each time, and readable without colour."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.drawings import OPEN, Flow, FlowBlock, FlowLink, describe_flow, draw_flow
from kb.drawings.blocks import STATES
from kb.drawings.svg import safe_href
from tests.drawings.shapes import SVG, flows, read

ALLOWED = {"svg", "title", "desc", "g", "a", "path", "circle", "rect", "text", "tspan"}
PROGRAM = """
from kb.drawings import Flow, FlowBlock, FlowLink, draw_flow
blocks = tuple(FlowBlock(f"b{n}", f"Block {n}") for n in range(20))
links = tuple(FlowLink(f"b{n * 7 % 20}", f"b{n * 3 % 20}", "gate" * (n % 2)) for n in range(40))
flow = Flow(blocks, links, "Same bytes")
print(draw_flow(flow), draw_flow(flow, compact=True))
"""


def one_block(**given_words: str | None) -> Flow:
    words: dict[str, str | None] = {"id": "clk", "name": "Clock", **given_words}
    return Flow((FlowBlock(**words),), (), "One block")  # type: ignore[arg-type]


@given(flow=flows(most=8))
def test_any_text_gives_valid_xml_of_harmless_elements(flow: Flow) -> None:
    for compact in (False, True):
        for element in read(draw_flow(flow, compact=compact)).root.iter():
            assert element.tag.removeprefix(SVG) in ALLOWED
            assert not [name for name in element.attrib if name.startswith("on") or name == "style"]


@given(name=st.text())
def test_a_name_is_text_and_never_markup(name: str) -> None:
    # The same shape with a harmless name: whatever was written, no element is added.
    plain = read(draw_flow(one_block(name="Clock"))).root
    drawn = read(draw_flow(one_block(name=name))).root
    kinds = [element.tag for element in drawn.iter() if not element.tag.endswith("tspan")]
    assert kinds == [element.tag for element in plain.iter() if not element.tag.endswith("tspan")]


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "R & D", "\"quoted\" 'twice'", "]]>", "<!-- -->"]
)
def test_the_full_name_can_be_read_back_as_written(name: str) -> None:
    group = next(
        each
        for each in read(draw_flow(one_block(name=name))).root.iter(f"{SVG}g")
        if "data-block" in each.attrib
    )
    assert group.findtext(f"{SVG}title") == name


def test_control_characters_and_direction_marks_are_left_out() -> None:
    svg = draw_flow(one_block(name="Cl\x00o\x1bck\u202e \ud800driver\ufffe"))
    assert "Clock driver" in svg


def test_a_long_name_is_cut_after_three_lines_and_said_in_full() -> None:
    name = "Voltage controlled low frequency modulation oscillator with reset and hold inputs"
    root = read(draw_flow(one_block(name=name))).root
    lines = [line.text or "" for line in root.iter(f"{SVG}tspan")]
    assert len(lines) == 3
    assert lines[-1].endswith("\u2026")
    assert name in {title.text for title in root.iter(f"{SVG}title")}


def test_the_same_flow_gives_the_same_bytes_whatever_the_hash_seed() -> None:
    outputs = {
        subprocess.run(
            [sys.executable, "-c", PROGRAM],
            check=True,
            capture_output=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONIOENCODING": "utf-8"},
        ).stdout
        for seed in ("0", "1", "4321")
    }
    assert len(outputs) == 1


def test_both_variants_may_stand_on_one_page() -> None:
    flow = one_block()
    ids = [re.findall(r'\bid="([^"]+)"', draw_flow(flow, compact=compact)) for compact in (False, True)]
    assert len(ids[0]) == 2
    assert not set(ids[0]) & set(ids[1])


def test_the_drawing_has_a_role_a_title_and_a_text_alternative() -> None:
    flow = one_block(test_point="TP3")
    root = read(draw_flow(flow)).root
    named = {element.attrib["id"]: element.text for element in root.iter() if "id" in element.attrib}
    assert root.attrib["role"] == "img"
    assert named[root.attrib["aria-labelledby"]] == "One block"
    assert named[root.attrib["aria-describedby"]] == describe_flow(flow)


def test_links_in_a_drawing_are_not_hidden_behind_the_role_of_an_image() -> None:
    assert read(draw_flow(one_block(href="blocks/one.html"))).root.attrib["role"] == "group"


@pytest.mark.parametrize("state", ["here", "cleared", "suspect", "absent"])
def test_a_state_shows_by_a_word_and_by_its_outline(state: str) -> None:
    root = read(draw_flow(one_block(state=state))).root
    assert state in {text.text for text in root.iter(f"{SVG}text")}
    assert f"hs-flow-state-{state}" in draw_flow(one_block(state=state))
    assert outline(state) not in [
        outline(other) for other in ("", "here", "cleared", "suspect", "absent") if other != state
    ]


def outline(state: str) -> tuple[object, ...]:
    """Everything about the outline that survives a black and white printer."""
    rects = list(read(draw_flow(one_block(state=state))).root.iter(f"{SVG}rect"))
    frames = [each for each in rects if each.attrib["class"] != "hs-flow-tag-box"]
    first = frames[0].attrib
    return first["stroke-width"], first.get("stroke-dasharray"), len(frames)


def groups(block: ElementTree.Element) -> dict[str, ElementTree.Element]:
    """The parts of an open block that are shown or not, by the state they are for."""
    return {
        each.attrib["class"].rpartition("-when-")[2]: each
        for each in block.iter(f"{SVG}g")
        if "-when-" in each.attrib.get("class", "")
    }


def open_block() -> tuple[ElementTree.Element, dict[str, ElementTree.Element]]:
    root = ElementTree.fromstring(draw_flow(one_block(state=OPEN, test_point="TP3")))  # noqa: S314 our own
    block = next(each for each in root.iter(f"{SVG}g") if "data-block" in each.attrib)
    return block, groups(block)


def test_an_open_block_holds_every_state_and_shows_the_plain_one() -> None:
    """Where no style sheet and no script came, nothing is claimed of the block."""
    block, found = open_block()
    assert set(found) == {"plain", *STATES} - {""}
    assert {state for state, each in found.items() if "display" not in each.attrib} == {"plain"}
    assert {each.attrib["display"] for state, each in found.items() if state != "plain"} == {"none"}
    assert block.findtext(f"{SVG}title") == "Clock, test point TP3"
    assert block.attrib["class"] == "hs-flow-block hs-flow-state-open"


@pytest.mark.parametrize("state", ["cleared", "suspect", "absent"])
def test_a_state_of_an_open_block_looks_as_the_state_drawn_alone(state: str) -> None:
    """The same outline and the same word; only the room for the longest word may make the box wider."""
    alone = read(draw_flow(one_block(state=state, test_point="TP3"))).root
    shown = open_block()[1][state]
    look = ("class", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "fill", "rx")

    def outlines(element: ElementTree.Element) -> list[list[str | None]]:
        return [[each.get(name) for name in look] for each in element.iter(f"{SVG}rect")]

    assert outlines(shown) == outlines(alone)
    assert [text.text for text in shown.iter(f"{SVG}text")] == [state]


def test_here_can_be_told_together_with_another_state_of_an_open_block() -> None:
    block, found = open_block()
    (ring,) = found["here"].iter(f"{SVG}rect")
    assert ring.attrib["fill"] == "none"
    assert found["here"].find(f"{SVG}path") is not None
    order = list(block)
    assert order.index(found["here"]) > max(order.index(found[each]) for each in ("cleared", "suspect"))
    name = next(each for each in block if each.tag == f"{SVG}text")
    assert order.index(name) > order.index(found["here"])


def test_the_test_point_stands_below_the_name() -> None:
    root = read(draw_flow(one_block(test_point="TP3"))).root
    point = next(text for text in root.iter(f"{SVG}text") if text.text == "TP3")
    name = next(root.iter(f"{SVG}tspan"))
    assert float(point.attrib["y"]) > float(name.attrib["y"])


def test_a_block_links_to_its_page_and_says_its_name() -> None:
    link = next(
        read(draw_flow(one_block(href="../blocks/clock/", test_point="TP1", state="here"))).root.iter(
            f"{SVG}a"
        )
    )
    assert link.attrib == {"href": "../blocks/clock/", "aria-label": "Clock, test point TP1, here"}


@pytest.mark.parametrize(
    ("href", "kept"),
    [
        ("blocks/clock/", "blocks/clock/"),
        ("../clock.html#step-2", "../clock.html#step-2"),
        ("#clock", "#clock"),
        ("/models/sw16/", "/models/sw16/"),
        ("?find=a:b", "?find=a:b"),
        ("", None),
        (None, None),
        ("javascript:alert(1)", None),
        (" java\tscript:alert(1)", None),
        ("JAVA\nSCRIPT:alert(1)", None),
        ("\x01javascript:alert(1)", None),
        ("data:text/html,x", None),
        ("https://example.org/", None),
        ("//example.org/", None),
        ("/\\example.org/", None),
        ("\\\\example.org", None),
    ],
)
def test_only_addresses_on_the_site_become_links(href: str | None, kept: str | None) -> None:
    assert safe_href(href) == kept


@pytest.mark.parametrize(
    ("blocks", "links", "said"),
    [
        ((), (), "at least one block"),
        ((FlowBlock("a", "A"), FlowBlock("a", "B")), (), "used 2 times"),
        ((FlowBlock("a", "A"),), (FlowLink("a", "b"),), "'b', which the flow does not have"),
    ],
)
def test_a_flow_that_does_not_hang_together_is_refused(
    blocks: tuple[FlowBlock, ...], links: tuple[FlowLink, ...], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        Flow(blocks, links, "Broken")


def test_an_unknown_state_is_refused() -> None:
    with pytest.raises(ValueError, match="unknown state 'broken'"):
        FlowBlock("a", "A", state="broken")
