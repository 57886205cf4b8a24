"""Styles of figures moved into a style sheet, so that pages can forbid every style written in them."""

from __future__ import annotations

import hashlib
import html
import re
from dataclasses import dataclass, field

_TAG = re.compile(r"<[^<>]+>")
_STYLE = re.compile(r'\sstyle="([^"]*)"')
_CLASS = re.compile(r'\sclass="([^"]*)"')


@dataclass
class FigureStyles:
    """The rules that figures asked for so far, by the name of their class."""

    rules: dict[str, str] = field(default_factory=dict)

    def moved_out(self, svg: str) -> str:
        """A drawing of ours with a class in place of each style attribute."""
        return _TAG.sub(self._of_tag, svg)

    def style_sheet(self) -> bytes:
        """All rules, in an order that depends on them alone."""
        lines = [f".hs-figure .{name} {{ {self.rules[name]} }}\n" for name in sorted(self.rules)]
        return "".join(lines).encode()

    def _of_tag(self, tag: re.Match[str]) -> str:
        style = _STYLE.search(tag[0])
        if style is None:
            return tag[0]
        name = self._class_of(html.unescape(style[1]))
        bare = tag[0].replace(style[0], "", 1)
        if _CLASS.search(bare):
            return _CLASS.sub(lambda found: f' class="{found[1]} {name}"', bare, count=1)
        return re.sub(r"\A<([\w:]+)", lambda found: f'<{found[1]} class="{name}"', bare)

    def _class_of(self, style: str) -> str:
        if re.search(r"[{}<>]", style):
            raise ValueError(f"a figure's style holds a brace: {style[:60]}")
        name = f"s-{hashlib.sha256(style.encode()).hexdigest()[:12]}"
        self.rules[name] = style
        return name
