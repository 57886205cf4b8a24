"""Prose is restricted Markdown: what it may become, and what stays the text that was written."""

from __future__ import annotations

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.benches import guide_text
from tests.markup import Markup
from tests.pages.test_text_is_text import HOSTILE

ALLOWED = {
    "p": set(), "h2": {"id"}, "h3": {"id"}, "h4": {"id"}, "h5": set(), "h6": set(), "ul": set(),
    "ol": {"start"}, "li": set(), "thead": set(), "tbody": set(), "tr": set(), "th": {"align"},
    "td": {"align"}, "strong": set(), "em": set(), "code": set(), "pre": {"id"}, "blockquote": set(),
    "hr": set(), "br": set(), "a": {"href"}, "img": {"src", "alt"},
    # Ours: the box a table scrolls in, and the plain one that code stands in.
    "div": {"class", "tabindex", "role", "aria-label"}, "table": {"class"},
}  # fmt: skip
OWN_CLASSES = {None, "hs-scroll", "hs-table"}
SCHEMES = ("http://", "https://", "mailto:", "../", "#")


def check_what_it_became(html: str) -> Markup:
    page = Markup(html)
    for tag, attributes in page.tags:
        assert tag in ALLOWED, tag
        assert set(attributes) <= ALLOWED[tag], (tag, attributes)
        assert attributes.get("class") in OWN_CLASSES
        assert not attributes.get("align") or attributes["align"] in ("left", "right", "center")
    assert all(link.startswith((*SCHEMES, "for-owners", "first-look")) for link in page.links), page.links
    assert "\ue000" not in html
    assert "\x02" not in html
    return page


@pytest.mark.parametrize(
    ("body", "html"),
    [
        ("one\ntwo\n\nthree", "<p>one\ntwo</p>\n<p>three</p>"),
        ("*a* **b** `c`", "<p><em>a</em> <strong>b</strong> <code>c</code></p>"),
        ("- a\n- b", "<ul>\n<li>a</li>\n<li>b</li>\n</ul>"),
        ("3. a\n4. b", '<ol start="3">\n<li>a</li>\n<li>b</li>\n</ol>'),
        ("> a", "<blockquote>\n<p>a</p>\n</blockquote>"),
        ("# One\n\n### Two", '<h2 id="one">One</h2>\n<h3 id="two">Two</h3>'),
        ("## Same\n\n## Same", '<h2 id="same">Same</h2>\n<h2 id="same_1">Same</h2>'),
        ("```\na < b\n```", '<div><pre id="_code-1"><code>a &lt; b\n</code></pre></div>'),
        ("    a < b", '<pre id="_code-1"><code>a &lt; b\n</code></pre>'),
        ("a  \nb", "<p>a<br>\nb</p>"),
        ("[a](https://example.org/x)", '<p><a href="https://example.org/x">a</a></p>'),
        ("[a](mailto:bench@example.org)", '<p><a href="mailto:bench@example.org">a</a></p>'),
        ("<https://example.org/>", '<p><a href="https://example.org/">https://example.org/</a></p>'),
        ('[a](https://example.org/ "title")', '<p><a href="https://example.org/">a</a></p>'),
    ],
)  # fmt: skip
def test_markdown_that_is_allowed(body: str, html: str) -> None:
    made, problems, _ = guide_text(body)
    assert problems == []
    assert made.strip() == html


def test_a_table_scrolls_in_a_box_that_the_keyboard_reaches() -> None:
    html, _, _ = guide_text("| a | b |\n| :-- | --: |\n| 1 | 2 |")
    box, table, *_ = check_what_it_became(html).tags
    assert box == (
        "div",
        {"class": "hs-scroll", "tabindex": "0", "role": box[1]["role"], "aria-label": "Table"},
    )
    assert table == ("table", {"class": "hs-table"})
    assert '<td align="right">2</td>' in html


@pytest.mark.parametrize(
    "body",
    [
        "<script>alert(1)</script>",
        "<b>bold</b>",
        "a <img src=x onerror=alert(1)> b",
        '<div markdown="1">\n**x**\n</div>',
        "<!-- note -->",
        "<?php echo 1 ?>",
        "<table><tr><td>x</td></tr></table>",
        "<a href='javascript:alert(1)'>x</a>",
        "<bench@example.org>",
        "text {: .red onclick=alert(1) }",
        '--8<-- "shop.yml"',
        "{{ 7 * 7 }} {% if x %} {# y #}",
        "$x^2$ \\(y\\) :smile: ==mark== ~~gone~~ ^up^",
        "!!! note\n    inside",
        "*[HTML]: never\n\nHTML",
        "[TOC]",
        "[[fault:pacer-warm-stop]]",
    ],
)
def test_what_is_not_markdown_here_comes_out_as_it_was_written(body: str) -> None:
    html, problems, _ = guide_text(body)
    assert problems == []
    page = check_what_it_became(html)
    assert page.links == []
    plain = body.replace("**", "").replace("\\(", "(").replace("\\)", ")")
    assert "".join(page.text.split()) == "".join(plain.split())


@pytest.mark.parametrize(
    "link",
    [
        "javascript:alert(1)", "JavaScript:alert(1)", "java&#115;cript:alert(1)", "&#106;avascript:alert(1)",
        "data:text/html,<script>alert(1)</script>", "vbscript:x", "file:///etc/passwd", "ftp://example.org",
        "//example.org/x", "/absolute", "x.html", "..\\x", "?x", "fault", ":fault",
    ],
)  # fmt: skip
def test_a_link_elsewhere_is_a_problem_and_leads_nowhere(link: str) -> None:
    html, problems, _ = guide_text(f"See [this]({link}).")
    assert len(problems) == 1
    assert "leads nowhere" in problems[0]
    page = check_what_it_became(html)
    assert page.links == []
    assert "See this." in page.text


@pytest.mark.parametrize("body", ["[a][1]\n\n[1]: javascript:x", "![a](javascript:x)", "[^1]\n\n[^1]: note"])
def test_references_are_no_way_around(body: str) -> None:
    html, problems, _ = guide_text(body)
    assert len(problems) == 1
    assert check_what_it_became(html).links == []


# Reading refuses what cannot be seen, so that it never comes this far.
VISIBLE = [each for each in HOSTILE if each != "\u2028"]

markdown = st.lists(
    st.sampled_from([
        *VISIBLE, "\n", "\n\n", "    ", "> ", "- ", "1. ", "# ", "## ", "```", "~~~", "`", "**", "_",
        "[", "](", ")", "![", "<", ">", "</p>", "</div>", "|", "---", "| --- | --- |", "[x](fault:pacer)",
        "[](part:one-shot#used)", "[a][b]", "[b]: https://example.org", "&amp;", "&#x3c;", "\\", "___",
        "<div>", "<p>", "</section>", "word", "80 cm", "{: #id .c }", "\t", "[x]: <javascript:a>", "  \n",
        "![](photos/no.png)", "***", "\nthe end\n===\n", "calc\n", "tempo: {bpm: 120 BPM}",
    ])
    | st.text(st.characters(exclude_categories=("Cc", "Cf", "Cs", "Co", "Cn")), max_size=6),
    max_size=24,
).map("".join)  # fmt: skip


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(markdown)
def test_nothing_makes_a_tag_an_attribute_or_a_link_that_is_not_allowed(body: str) -> None:
    html, _, _ = guide_text("Text.\n\n" + body)
    assert Markup(html).faults == []
    without_ours = "".join(_outside_our_own(html))
    check_what_it_became(without_ours)


OURS = re.compile(r'<(aside|section|div) class="hs-(?:calc|caution)[^>]*>|<(/?)(?:aside|section|div)\b')


def _outside_our_own(html: str) -> list[str]:
    """The pieces of a text between the calculations and cautions that were set into it."""
    found, depth, at = [], 0, 0
    import re  # noqa: PLC0415

    for match in re.finditer(
        r'<(aside|section|div) class="hs-(?:calc|caution)[^>]*>|<(/?)(aside|section|div)\b', html
    ):
        if depth == 0 and match[1]:
            found.append(html[at : match.start()])
            depth = 1
        elif depth:
            depth += -1 if match[2] else 1
            at = html.index(">", match.start()) + 1
    return [*found, html[at:]]
