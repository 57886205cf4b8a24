"""Turns a drawn SVG document into an element that may stand inside any page, several on one page.

Whatever would reach beyond the figure goes: ids that meet those of another figure, a style sheet for
`*`, a fixed size. Colours become CSS custom properties, so that a page's theme decides them.
"""

from __future__ import annotations

import re
from typing import Final
from xml.etree import ElementTree

from kb.figures.spec import FigureSpec

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"

PALETTE: Final = {
    "ink": "#010203",
    "grid": "#010204",
    "mark": "#010205",
    "line-1": "#010211",
    "line-2": "#010212",
    "line-3": "#010213",
    "line-4": "#010214",
}
"""Stand-ins that matplotlib draws with, one for each custom property."""

_FALLBACK: Final = {
    "ink": "#333", "grid": "#8884", "mark": "#a33", "line-1": "#1f6fb2", "line-2": "#b3541e",
    "line-3": "#3a7d44", "line-4": "#7a4fa0",
}  # fmt: skip
_FONT: Final = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Noto Sans', sans-serif"
_FONT_IN_STYLE: Final = re.compile(r"(font(?:-family)?:[^;]*?)'?DejaVu Sans'?(?:, *[^;]*)?")
# Lettering on a line across stays readable where it meets a curve or a bar.
_HALO: Final = "; paint-order: stroke; stroke: var(--hs-figure-ground, Canvas); stroke-width: 3px"
_LINK: Final = re.compile(r"url\(#([^)]+)\)")
_COLOUR_ATTRIBUTES: Final = ("style", "fill", "stroke")


def make_inline(document: bytes, spec: FigureSpec) -> str:
    """The `<svg>` element of `document` with its title and description, as text without a prolog."""
    root = ElementTree.fromstring(document)  # noqa: S314 - our own drawing, not a stranger's file
    prefix = f"hs-{spec.digest[:12]}"
    _drop_outside_matter(root)
    _rename_ids(root, prefix)
    for element in root.iter():
        _recolour(element)
    _describe(root, spec, prefix)
    ElementTree.register_namespace("", SVG)
    ElementTree.register_namespace("xlink", XLINK)
    return ElementTree.tostring(root, encoding="unicode")


def _drop_outside_matter(root: ElementTree.Element) -> None:
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag in (f"{{{SVG}}}metadata", f"{{{SVG}}}style"):
                parent.remove(child)
    for name in ("width", "height", "version"):
        root.attrib.pop(name, None)


def _rename_ids(root: ElementTree.Element, prefix: str) -> None:
    """Give the ids that are pointed at a name of this figure's own, and drop the others."""
    pointed_at = dict.fromkeys(target for element in root.iter() for target in _targets(element))
    names = {old: f"{prefix}-{number}" for number, old in enumerate(pointed_at)}
    for element in root.iter():
        own = element.attrib.pop("id", None)
        if own in names:
            element.set("id", names[own])
        for key, value in element.attrib.items():
            if key in ("href", f"{{{XLINK}}}href"):
                element.set(key, f"#{names[value[1:]]}")
            else:
                element.set(key, _LINK.sub(lambda found: f"url(#{names[found[1]]})", value))


def _targets(element: ElementTree.Element) -> list[str]:
    found: list[str] = []
    for key, value in element.attrib.items():
        found += [value[1:]] if key in ("href", f"{{{XLINK}}}href") else _LINK.findall(value)
    return found


def _recolour(element: ElementTree.Element) -> None:
    for key in _COLOUR_ATTRIBUTES:
        value = element.get(key)
        if value is None:
            continue
        for name, stand_in in PALETTE.items():
            value = value.replace(stand_in, f"var(--hs-figure-{name}, {_FALLBACK[name]})")
        if element.tag == f"{{{SVG}}}text" and PALETTE["mark"] in (element.get(key) or ""):
            value += _HALO
        value = _FONT_IN_STYLE.sub(lambda found: found[1] + _FONT, value)
        # a custom property works in a style only, never in an attribute of its own
        if key != "style" and "var(" in value:
            del element.attrib[key]
            element.set("style", f"{key}: {value}; {element.get('style', '')}".strip("; "))
        else:
            element.set(key, value)


def _describe(root: ElementTree.Element, spec: FigureSpec, prefix: str) -> None:
    root.set("class", "hs-figure")
    root.set("role", "img")
    root.set("aria-labelledby", f"{prefix}-title {prefix}-desc")
    root.set("stroke-linejoin", "round")
    for place, (tag, text) in enumerate((("title", spec.title), ("desc", spec.description))):
        element = ElementTree.Element(f"{{{SVG}}}{tag}", {"id": f"{prefix}-{tag}"})
        element.text = text
        root.insert(place, element)
