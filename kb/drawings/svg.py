"""A finished layout written as an SVG element, through an XML writer only: names may hold any character.

No script, no style sheet, no reference to anything outside; colours are CSS variables with fallbacks that
follow the page's text colour, and every state differs by its outline and by a word as well as by its colour.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree import ElementTree

from kb.drawings.arrows import arrow_head, corner_path, midway_arrows
from kb.drawings.blocks import OPEN, Flow, FlowBlock
from kb.drawings.fitting import (
    NAME_LEADING_PX,
    NOTE_LEADING_PX,
    NOTE_PX,
    PADDING_PX,
    Fitted,
    Lettered,
    label_room,
    tag_width,
)
from kb.drawings.geometry import Label, Layout, Loop, Point, Rectangle, Route, junctions
from kb.drawings.lettering import clean, shorten

Element = ElementTree.Element

_LINE = "var(--hs-flow-line, currentColor)"
_TEXT = "var(--hs-flow-text, currentColor)"
_PAPER = "var(--hs-flow-paper, transparent)"
_OUTLINES: dict[str, dict[str, str]] = {
    "": {"stroke": _LINE, "stroke-width": "1.4"},
    "here": {"stroke": "var(--hs-flow-here, #2f7fd1)", "stroke-width": "4"},
    "cleared": {"stroke": "var(--hs-flow-cleared, #3c8a4b)", "stroke-width": "1.4"},
    "suspect": {
        "stroke": "var(--hs-flow-suspect, #c2601f)",
        "stroke-width": "2.6",
        "stroke-dasharray": "9 4",
    },
    "absent": {
        "stroke": _LINE,
        "stroke-width": "1.4",
        "stroke-dasharray": "1.5 4",
        "stroke-linecap": "round",
    },
}


@dataclass(frozen=True)
class Inscription:
    """The words around a drawing: the prefix of its ids, its variant, its title and its text alternative."""

    prefix: str
    variant: str
    title: str
    description: str


def drawing(flow: Flow, fitted: Fitted, inscription: Inscription) -> str:
    """The SVG element as text."""
    layout = fitted.layout
    width, height = _number(layout.width), _number(layout.height)
    root = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": f"hs-flow hs-flow-{inscription.variant}",
            # What an image holds is hidden from a screen reader, so with links in it the drawing is a group.
            "role": "group" if any(block.href for block in flow.blocks) else "img",
            "aria-labelledby": f"{inscription.prefix}-title",
            "aria-describedby": f"{inscription.prefix}-desc",
            "viewBox": f"0 0 {width} {height}",
            "width": width,
            "height": height,
        },
    )
    _text_child(root, "title", clean(inscription.title) or "Signal flow", id=f"{inscription.prefix}-title")
    _text_child(root, "desc", inscription.description, id=f"{inscription.prefix}-desc")
    _draw_links(root, flow, layout)
    blocks = ElementTree.SubElement(root, "g", {"class": "hs-flow-blocks", "fill": _TEXT})
    for block, frame, words in zip(flow.blocks, layout.boxes, fitted.boxes, strict=True):
        _draw_block(blocks, block, frame, words)
    return ElementTree.tostring(root, encoding="unicode")


def _draw_links(root: Element, flow: Flow, layout: Layout) -> None:
    lines = ElementTree.SubElement(
        root, "g", {"class": "hs-flow-links", "fill": "none", "stroke": _LINE, "stroke-width": "2"}
    )
    forks = junctions(layout.routes)
    for route in layout.routes:
        _draw_route(lines, flow, route, forks)
    for net in sorted({route.net for route in layout.routes}):
        by_lane = [route.points for route in layout.routes if route.net == net and route.by_lane]
        _draw_heads(lines, midway_arrows(by_lane, runs_down=layout.runs_down))
    for loop in layout.loops:
        _draw_loop(lines, flow, loop)
    for x, y in sorted(forks):
        at = {"cx": _number(x), "cy": _number(y), "r": "3.2", "fill": _LINE, "stroke": "none"}
        ElementTree.SubElement(lines, "circle", {"class": "hs-flow-fork", **at})
    for label in layout.labels:
        _draw_label(root, label, layout)


def _draw_route(lines: Element, flow: Flow, route: Route, forks: frozenset[Point]) -> None:
    kind = "hs-flow-link hs-flow-link-lane" if route.by_lane else "hs-flow-link"
    group = _link_group(lines, flow, kind, route.source, route.target, route.label)
    ElementTree.SubElement(group, "path", {"d": corner_path(route.points, forks)})
    _draw_heads(group, [arrow_head(*route.points[-2:])])


def _draw_heads(group: Element, heads: list[str]) -> None:
    for head in heads:
        ElementTree.SubElement(
            group, "path", {"class": "hs-flow-arrow", "d": head, "fill": _LINE, "stroke": "none"}
        )


def _link_group(lines: Element, flow: Flow, kind: str, source: int, target: int, label: str) -> Element:
    ends = flow.blocks[source], flow.blocks[target]
    group = ElementTree.SubElement(
        lines, "g", {"class": kind, "data-from": clean(ends[0].id), "data-to": clean(ends[1].id)}
    )
    said = f"{_name(ends[0])} to {_name(ends[1])}"
    _text_child(group, "title", f"{said}: {label}" if label else said)
    return group


def _draw_loop(lines: Element, flow: Flow, loop: Loop) -> None:
    group = _link_group(lines, flow, "hs-flow-link hs-flow-link-loop", loop.box, loop.box, loop.label)
    ElementTree.SubElement(group, "path", {"d": corner_path(loop.points, frozenset())})
    _draw_heads(group, [arrow_head(*loop.points[-2:])])
    if loop.label:
        _draw_loop_label(group, loop)


def _draw_loop_label(group: Element, loop: Loop) -> None:
    (_, first_y), (second_x, second_y), (third_x, third_y), _ = loop.points
    if second_y != first_y:
        room, x, y, anchor = abs(second_x - third_x) - 16, (second_x + third_x) / 2, second_y - 3, "middle"
    else:
        room, x, y, anchor = 48.0, second_x + 4, (second_y + third_y) / 2 + 4, "start"
    text = shorten(loop.label, room, NOTE_PX)
    _text_child(group, "text", text, **_label_look(x, y, anchor))


def _label_look(x: float, y: float, anchor: str) -> dict[str, str]:
    return {
        "class": "hs-flow-label",
        "x": _number(x),
        "y": _number(y),
        "text-anchor": anchor,
        "font-size": _number(NOTE_PX),
        "fill": _TEXT,
        "stroke": "none",
    }


def _draw_label(root: Element, label: Label, layout: Layout) -> None:
    x, y = label.at
    if layout.runs_down:
        text = shorten(label.text, label_room(label), NOTE_PX)
        look = _label_look(x + 5, y + NOTE_PX + 1, "start")
    else:
        text = shorten(label.text, 78.0, NOTE_PX)
        look = _label_look(x + 5, y - 4, "start")
    _text_child(root, "text", text, **look)


def _draw_block(parent: Element, block: FlowBlock, frame: Rectangle, words: Lettered) -> None:
    state = "" if block.state == OPEN else block.state
    said = ", ".join(part for part in (_name(block), _test_point(block), state) if part)
    target = safe_href(block.href)
    if target:
        parent = ElementTree.SubElement(parent, "a", {"href": target, "aria-label": said})
    kind = f"hs-flow-block hs-flow-state-{block.state}" if block.state else "hs-flow-block"
    group = ElementTree.SubElement(parent, "g", {"class": kind, "data-block": clean(block.id)})
    _text_child(group, "title", said)
    if block.state == OPEN:
        _draw_open(group, frame, words)
        return
    _outline(group, frame, block.state)
    tag = _write(group, frame, words)
    if tag:
        _tag(group, block.state, *tag)


def _draw_open(group: Element, frame: Rectangle, words: Lettered) -> None:
    """The block in every state, each in a group that a style sheet shows; none but the plain one without."""
    plain = ElementTree.SubElement(group, "g", {"class": "hs-flow-when hs-flow-when-plain"})
    _outline(plain, frame, "")
    tag = _write(group, frame, words)
    for state in ("here", "absent", "suspect", "cleared"):
        when = {"class": f"hs-flow-when hs-flow-when-{state}", "display": "none"}
        shown = ElementTree.Element("g", when)
        # Behind the words, so that paper never covers them; `here` comes to lie on top of the others.
        group.insert(list(group).index(plain) + 1, shown)
        if state == "here":
            _corner(shown, frame)
            continue
        _outline(shown, frame, state)
        if tag:
            _tag(shown, state, *tag)


def _corner(group: Element, frame: Rectangle) -> None:
    """A thick outline around, and a filled corner, so that `here` can be told together with another state."""
    _rectangle(group, frame, -3.5, "hs-flow-ring", {"fill": "none", **_OUTLINES["here"]})
    x, y = _number(frame.x), _number(frame.y)
    shape = f"M{x} {y}h15l-15 15z"
    ElementTree.SubElement(group, "path", {"d": shape, "fill": _OUTLINES["here"]["stroke"], "stroke": "none"})


def _outline(group: Element, frame: Rectangle, state: str) -> None:
    _rectangle(group, frame, 0.0, "hs-flow-box", {"fill": _PAPER, **_OUTLINES[state]})
    if state == "cleared":
        _rectangle(group, frame, 3.5, "hs-flow-inner", {"fill": "none", **_OUTLINES["cleared"]})


def _rectangle(group: Element, frame: Rectangle, inset: float, kind: str, look: dict[str, str]) -> None:
    size = {
        "x": _number(frame.x + inset),
        "y": _number(frame.y + inset),
        "width": _number(frame.width - 2 * inset),
        "height": _number(frame.height - 2 * inset),
        "rx": _number(7 - inset),
    }
    ElementTree.SubElement(group, "rect", {"class": kind, **size, **look})


def _write(group: Element, frame: Rectangle, words: Lettered) -> tuple[float, float] | None:
    """Name and test point; gives back where the right end of the state's word stands, if there is one."""
    top = frame.y + (frame.height - words.height) / 2 + PADDING_PX
    middle = _number(frame.x + frame.width / 2)
    look = {
        "class": "hs-flow-name",
        "text-anchor": "middle",
        "font-size": _number(words.name_px),
        "font-weight": "600",
    }
    text = ElementTree.SubElement(group, "text", look)
    for number, line in enumerate(words.lines):
        at = {"x": middle, "y": _number(top + 13 + number * NAME_LEADING_PX)}
        _text_child(text, "tspan", line, **at)
    note = top + NAME_LEADING_PX * len(words.lines) + 14
    if words.test_point and words.state and not words.is_stacked:
        _note(group, words.test_point, frame.x + PADDING_PX, note, "start")
        return frame.x + frame.width - PADDING_PX, note
    if words.test_point:
        _note(group, words.test_point, frame.x + frame.width / 2, note, "middle")
    if not words.state:
        return None
    lower = note + (NOTE_LEADING_PX if words.is_stacked else 0.0)
    return frame.x + frame.width / 2 + tag_width(words.state) / 2, lower


def _note(group: Element, text: str, x: float, y: float, anchor: str) -> None:
    look = {"class": "hs-flow-test-point", "text-anchor": anchor, "font-size": _number(NOTE_PX)}
    _text_child(group, "text", text, **look, x=_number(x), y=_number(y))


def _tag(group: Element, state: str, right: float, y: float) -> None:
    width = tag_width(state)
    colour = _OUTLINES[state]["stroke"]
    frame = Rectangle(right - width, y - 12, width, 16)
    _rectangle(
        group, frame, 0.0, "hs-flow-tag-box", {"fill": "none", "stroke": colour, "stroke-width": "1.2"}
    )
    look = {
        "class": "hs-flow-tag",
        "text-anchor": "middle",
        "font-size": _number(NOTE_PX),
        "font-weight": "700",
    }
    _text_child(group, "text", state, **look, x=_number(right - width / 2), y=_number(y))


def safe_href(href: str | None) -> str | None:
    """The address if it stays on this site (relative, no scheme, no host), else None."""
    tidy = clean(href or "").replace(" ", "%20")
    leads_out = re.match(r"[^/?#]*:", tidy) or re.match(r"[/\\]{2}", tidy) or "\\" in tidy
    return None if not tidy or leads_out else tidy


def _name(block: FlowBlock) -> str:
    return clean(block.name) or clean(block.id) or "unnamed block"


def _test_point(block: FlowBlock) -> str:
    point = clean(block.test_point)
    return f"test point {point}" if point else ""


def _text_child(parent: Element, tag: str, text: str, **attributes: str) -> Element:
    child = ElementTree.SubElement(parent, tag, attributes)
    child.text = text
    return child


def _number(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
