"""A line of text in a record comes out as it was written, whatever it holds, and never as markup."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from itertools import count

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st

from kb.pages import Page
from kb.pages.sheet import Desk
from kb.pages.site import _pages
from kb.safety import hazards_named
from tests.benches import small_shop
from tests.markup import Markup
from tests.pages.rewriting import line_fields, rewritten

HOSTILE = (
    "<script>alert(1)</script>", "</script><script>alert(1)</script>", "<!--", "]]>", "<img src=x onerror=a>",
    "{{ 7 * 7 }}", "{% raw %}", "{# note #}", "javascript:alert(1)", "[x](javascript:alert(1))", "\"'`",
    "'\"><b>",
    "&lt;b&gt; &amp; &#60;", "[[fault:x]]", "| a | b |", "**bold** _it_", "# heading", "- item", "```calc",
    "![x](photos/pacer.png)", "{: .c onclick=x }", "[^1]", "\\", "%00", "Ωμ°½ “x” – …",
    "e\u0301 日本", "\u2028", "$$x$$", "--8<-- \"shop.yml\"", "<https://example.org>",
    "data:text/html,x",
)  # fmt: skip

NOT_SHOWN = {"ShopCard.currency"}
"""What a record may say that no page prints; it is there for other commands."""

pieces = st.sampled_from(HOSTILE) | st.text(
    st.characters(exclude_categories=("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")), min_size=1, max_size=12
)
lines = st.lists(pieces, min_size=1, max_size=4).map(" ".join)


def pages_with(text: str) -> tuple[dict[str, Page], dict[str, set[str]]]:
    """The pages of the small shop with `text` and a number in every line, and what was written where."""
    numbers = count(100)
    written: dict[str, set[str]] = {}

    def line(field: str) -> str:
        found = f"{text} no {next(numbers)}"
        written.setdefault(field, set()).add(found.strip())
        return found

    desk = Desk(rewritten(small_shop(), line), draws=False)
    pages = {page.path: page for page in _pages(desk)}
    assert list(desk.problems) == []
    return pages, written


@cache
def neutral() -> dict[str, list[tuple[str, tuple[str, ...]]]]:
    return {path: Markup(page.body).shape for path, page in pages_with("plain")[0].items()}


def test_the_small_shop_uses_every_line_there_is() -> None:
    """Otherwise a field added later would be printed without having been tried."""
    assert set(pages_with("plain")[1]) == line_fields()


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(lines)
@example(" ".join(HOSTILE[:5]))
@example(" ".join(HOSTILE[5:12]))
@example(" ".join(HOSTILE[12:20]))
@example(" ".join(HOSTILE[20:]))
def test_lines_of_records_are_text_on_every_page(text: str) -> None:
    # A word for a danger calls a caution, as it should; that is tried in tests/safety.
    assume(not hazards_named(text))
    pages, written = pages_with(text)
    parsed = {path: Markup(page.body) for path, page in pages.items()}
    assert {path: page.shape for path, page in parsed.items()} == neutral()
    everything = "\n".join(page.text for page in parsed.values())
    for field, texts in written.items():
        if field not in NOT_SHOWN:
            assert [each for each in texts if each not in everything] == [], field


@pytest.mark.parametrize(
    "text", ["</script><script>alert(1)</script>", "<!-- <script>", "]]> & ' \" \\ \u2028"]
)
def test_the_data_of_the_serial_box_is_what_was_written(text: str) -> None:
    pages, written = pages_with(text)
    body = pages["models/pacer.html"].body
    found = re.findall(
        r'<script type="application/json" class="hs-serial-data">(.*?)</script>', body, re.DOTALL
    )
    assert len(found) == 1
    assert "<" not in found[0]
    data = json.loads(found[0])
    assert data["model"] in written["Model.name"]
    assert {mark for each in data["revisions"] for mark in each["sight"]} <= written["Revision.by_sight"]


def test_a_line_that_became_markup_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: with escaping off, the property above fails."""
    from kb.pages import rendering  # noqa: PLC0415

    open_environment: Callable[[], object] = rendering.environment.__wrapped__
    leaky = open_environment()
    monkeypatch.setattr(leaky, "autoescape", False)
    monkeypatch.setattr(rendering, "environment", lambda: leaky)
    pages, _ = pages_with("<script>alert(1)</script>")
    assert {path: Markup(page.body).shape for path, page in pages.items()} != neutral()
