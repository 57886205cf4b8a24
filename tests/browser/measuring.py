"""What a page looks like, in numbers: contrast of its text, size of its targets, what is cut off."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3, for text of ordinary size; held here for text of any size."""

LEAST_TARGET_PX = 24
"""WCAG 2.2, success criterion 2.5.8."""

# Colours are painted on a canvas to be read back, so that any notation the style sheet uses is understood.
_FAINT = """([least, background]) => {
  const canvas = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  const read = (colour) => {
    canvas.clearRect(0, 0, 1, 1); canvas.fillStyle = colour; canvas.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = canvas.getImageData(0, 0, 1, 1).data;
    return [r, g, b, a / 255];
  };
  const over = (top, under) => [0, 1, 2].map(i => top[i] * top[3] + under[i] * (1 - top[3])).concat(1);
  const behind = (element) => {
    if (background) return read(background);
    if (!element) return read("#fff");
    const style = getComputedStyle(element), own = read(style.backgroundColor);
    return own[3] === 1 ? own : over(own, behind(element.parentElement));
  };
  const light = ([r, g, b]) => [r, g, b].map(c => c / 255)
    .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
    .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
  const contrast = (text, under) => {
    const [high, low] = [light(over(text, under)), light(under)].sort((a, b) => b - a);
    return (high + 0.05) / (low + 0.05);
  };
  const name = (element) =>
    `${element.tagName.toLowerCase()}.${element.getAttribute("class") || element.parentElement.className}`;
  const faint = {}, seen = new Set();
  const judge = (element, colour, opacity, what) => {
    const text = read(colour);
    text[3] *= opacity;
    const ratio = contrast(text, behind(element));
    seen.add(what);
    if (ratio < least) faint[what] = `${ratio.toFixed(2)} for “${element.textContent.trim().slice(0, 30)}”`;
  };
  const opacity = (element) =>
    element ? Number(getComputedStyle(element).opacity) * opacity(element.parentElement) : 1;
  const left = "script, style, noscript, title, desc, .hs-visually-hidden, .md-skip, .hs-skip, [hidden]";
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement, style = getComputedStyle(element);
    if (!walker.currentNode.data.trim() || !element.getClientRects().length) continue;
    if (element.closest(left)) continue;
    if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
    judge(element, element instanceof SVGElement ? style.fill : style.color, opacity(element), name(element));
  }
  for (const input of document.querySelectorAll("input[placeholder]")) {
    if (!input.getClientRects().length) continue;
    judge(input, getComputedStyle(input, "::placeholder").color, 1, "placeholder." + input.className);
  }
  return { faint, seen: Array.from(seen) };
}"""

_CUT_OFF = """() => {
  const width = document.documentElement.clientWidth;
  const scrolls = (element) => element && element !== document.body && element !== document.documentElement
    && (["auto", "scroll"].includes(getComputedStyle(element).overflowX) || scrolls(element.parentElement));
  return Array.from(document.querySelectorAll("body *")).filter((element) => {
    const box = element.getBoundingClientRect();
    return box.width > 1 && box.right > width + 1 && !scrolls(element) && !element.closest(".md-skip")
      && element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  }).map(element =>
    `${element.tagName}.${element.getAttribute("class") || ""} ${element.textContent.trim().slice(0, 30)}`);
}"""

_CLIPPED = """() => Array.from(document.querySelectorAll(".hs-page *")).filter(box => {
  const style = getComputedStyle(box);
  return style.display !== "inline" && box.getClientRects().length && style.position !== "absolute"
    && (style.overflowX !== "visible" && box.scrollWidth > box.clientWidth + 1
      || style.overflowY !== "visible" && box.scrollHeight > box.clientHeight + 1);
}).map(box => box.getAttribute("class") || box.tagName)"""

_LETTERING = """selector => Array.from(document.querySelectorAll(`${selector} text`))
  .filter(text => text.getClientRects().length)
  .map(text => {
    const drawing = text.ownerSVGElement;
    const scale = drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width;
    return [parseFloat(getComputedStyle(text).fontSize) * scale, text.textContent];
  })"""


def faint_text(page: Page, background: str = "") -> tuple[dict[str, str], set[str]]:
    """Text below the contrast it needs, by element; and everything that was judged.

    Behind the text lies what the page paints there, or `background` everywhere, as on paper.
    """
    found: dict[str, Any] = page.evaluate(_FAINT, [LEAST_CONTRAST, background])
    return found["faint"], set(found["seen"])


def cut_off(page: Page) -> list[str]:
    """Elements that reach beyond the window's right edge and are in no box that scrolls."""
    elements: list[str] = page.evaluate(_CUT_OFF)
    return elements


def clipped(page: Page) -> list[str]:
    """Boxes that hide a part of what they hold, or would have to be scrolled to show it."""
    boxes: list[str] = page.evaluate(_CLIPPED)
    return boxes


def lettering(page: Page, drawing: str) -> dict[str, float]:
    """The texts of the visible drawings with their size in CSS pixels as displayed.

    Of equal texts the smallest counts.
    """
    sizes: dict[str, float] = {}
    for size, text in page.evaluate(_LETTERING, drawing):
        sizes[text] = min(size, sizes.get(text, size))
    return sizes
