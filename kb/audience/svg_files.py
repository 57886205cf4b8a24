"""Drawings from a file made anew: shapes and words that are on a short list are written again.

What a drawing program keeps beside the picture (its author, its folders, layers, other namespaces) is left
behind; what could run, load or hide something refuses the file.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree

from kb.audience.refusals import NotPublishable

SVG = "http://www.w3.org/2000/svg"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
MOST_ELEMENTS = 20_000
DEEPEST = 60


def _words(text: str) -> frozenset[str]:
    """The words of a list that is written as a text."""
    return frozenset(text.split())


_SHAPES = _words(
    """
    svg g defs symbol use path rect circle ellipse line polyline polygon text tspan title desc marker clipPath
    linearGradient radialGradient stop
    """
)
_LEFT_BEHIND = _words("metadata view")
_GEOMETRY = _words(
    """
    x y x1 y1 x2 y2 dx dy cx cy r rx ry fx fy d points width height viewBox transform offset rotate
    gradientUnits gradientTransform spreadMethod clipPathUnits markerWidth markerHeight markerUnits refX refY
    orient preserveAspectRatio textLength lengthAdjust
    """
)
_LOOK = _words(
    """
    fill fill-opacity fill-rule stroke stroke-width stroke-opacity stroke-linecap stroke-linejoin
    stroke-dasharray stroke-dashoffset stroke-miterlimit opacity font-family font-size font-weight font-style
    text-anchor dominant-baseline baseline-shift letter-spacing word-spacing stop-color stop-opacity clip-path
    clip-rule marker-start marker-mid marker-end paint-order vector-effect
    """
)
_UNSEEN = re.compile(r"(?:display\s*[:=]\s*none|visibility\s*[:=]\s*(?:hidden|collapse))", re.IGNORECASE)
_POINTS_AT = re.compile(r"url\(\s*['\"]?#([^'\")\s]+)['\"]?\s*\)")
_PLAIN_VALUE = re.compile(r"[\w\s#%.,()+:'\"/*-]*\Z")
_ADVICE = "save it as a plain SVG with nothing but shapes and words in it"


def remade_svg(data: bytes) -> tuple[str, bytes]:
    """The ending and the bytes of the same drawing; raises NotPublishable."""
    root = _parsed(data)
    if root.tag != f"{{{SVG}}}svg":
        raise NotPublishable("is no SVG drawing", _ADVICE)
    names = {
        old: f"n{number}"
        for number, old in enumerate(each.get("id", "") for each in root.iter() if each.get("id"))
    }
    made = _Remaking(names).element(root, 0)
    ElementTree.register_namespace("", SVG)
    return ".svg", ElementTree.tostring(made, encoding="utf-8", xml_declaration=True) + b"\n"


def _parsed(data: bytes) -> ElementTree.Element:
    """The tree of a document without declarations of its own: they could name files and grow without end."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotPublishable("is not written in UTF-8", _ADVICE) from None
    if re.search(r"<!(?!--|\[CDATA\[)", text):
        raise NotPublishable("declares a document type or entities", _ADVICE)
    text = re.sub(r"\A\s*<\?xml[^>]*\?>", "", text)
    try:
        return ElementTree.fromstring(text)  # noqa: S314 - no declarations, no encoding but UTF-8
    except ElementTree.ParseError as error:
        raise NotPublishable(f"cannot be read as XML ({error.msg})", _ADVICE) from None


class _Remaking:
    """One drawing while it is written again; `names` are the new names of its ids."""

    def __init__(self, names: dict[str, str]) -> None:
        self._names = names
        self._count = 0

    def element(self, old: ElementTree.Element, depth: int) -> ElementTree.Element:
        """The same element with what may stay of it."""
        self._count += 1
        if self._count > MOST_ELEMENTS or depth > DEEPEST:
            raise NotPublishable("is too large a drawing", "make it simpler, or publish it as PNG")
        made = ElementTree.Element(old.tag, self._attributes(old))
        made.text = old.text if _is_lettering(old) else None
        for child in old:
            kind = _kind(child)
            if _is_unseen(child):
                continue
            if kind in _SHAPES:
                new = self.element(child, depth + 1)
                new.tail = child.tail if _is_lettering(old) else None
                made.append(new)
            elif kind is not None and kind not in _LEFT_BEHIND:
                raise NotPublishable(f"holds <{kind[:30]}>, which is not published", _ADVICE)
        return made

    def _attributes(self, old: ElementTree.Element) -> dict[str, str]:
        found: dict[str, str] = {}
        if old.get("id"):
            found["id"] = self._names[old.get("id", "")]
        for key, value in old.attrib.items():
            if key in _GEOMETRY or key in _LOOK:
                found[key] = self._value(value)
        for declaration in old.get("style", "").split(";"):
            key, _, value = declaration.partition(":")
            if key.strip() in _LOOK:
                found[key.strip()] = self._value(value.strip())
        href = old.get("href") or old.get(XLINK_HREF)
        if href is not None and _kind(old) in ("use", "linearGradient", "radialGradient"):
            found["href"] = f"#{self._name(href.removeprefix('#'))}"
        return found

    def _value(self, value: str) -> str:
        """A value in which nothing points outside the drawing."""
        inside = _POINTS_AT.sub(lambda found: f"url(#{self._name(found[1])})", value)
        rest = _POINTS_AT.sub("", inside)
        if re.search(r"url|image|expression|script|@import|/\*|\\|//", rest, re.IGNORECASE):
            raise NotPublishable(f'has a value "{value[:40]}" that points outside it', _ADVICE)
        if not _PLAIN_VALUE.match(rest):
            raise NotPublishable(f'has a value "{value[:40]}" that is not understood', _ADVICE)
        return inside

    def _name(self, name: str) -> str:
        if name not in self._names:
            raise NotPublishable(f'points to "{name[:40]}", which is not in it', _ADVICE)
        return self._names[name]


def _kind(element: ElementTree.Element) -> str | None:
    """The name of an SVG element; None for whatever is of another namespace."""
    own = f"{{{SVG}}}"
    return element.tag.removeprefix(own) if element.tag.startswith(own) else None


def _is_unseen(element: ElementTree.Element) -> bool:
    """Whether an element was switched off: what nobody sees, nobody has read before it was published."""
    display, visibility = element.get("display", ""), element.get("visibility", "")
    looks = f"{element.get('style', '')};display:{display};visibility:{visibility}"
    return _UNSEEN.search(looks) is not None


def _is_lettering(element: ElementTree.Element) -> bool:
    return _kind(element) in ("text", "tspan", "title", "desc")
