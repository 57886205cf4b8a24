"""Calculation fences: where they run, where they are only shown, and where a mistake in one is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.pages.fences import as_written, line_of, ready
from tests.benches import BODY_LINE, copied, found_in, guide_text
from tests.markup import Markup

GOOD = "tempo: {bpm: 120 BPM}"
BAD = "tempo: {bpm: 120 xx}"
COLUMN = BAD.index("120 xx") + 1
"""Where the wrong value stands in a line of its own."""


def line(number: int) -> int:
    """The line of the file that is line `number` (from 1) of the guide's text."""
    return BODY_LINE + number - 1


RUN = {
    "alone": f"```calc\n{GOOD}\n```",
    "with tildes": f"~~~calc\n{GOOD}\n~~~",
    "with four backticks": f"````calc\n{GOOD}\n````",
    "with a space": f"``` calc\n{GOOD}\n```",
    "with braces": f"``` {{.calc}}\n{GOOD}\n```",
    "in capitals": f"```Calc\n{GOOD}\n```",
    "between touching lines": f"before\n```calc\n{GOOD}\n```\nafter",
    "in a list": f"- before\n\n    ```calc\n    {GOOD}\n    ```\n\n    after\n- next",
    "in a list, touching": f"- before\n    ```calc\n    {GOOD}\n    ```\n- next",
    "in a numbered list": f"1. before\n\n    ```calc\n    {GOOD}\n    ```\n2. next",
    "in a list in a list": f"- a\n    - b\n\n        ```calc\n        {GOOD}\n        ```\n",
    "in a quote": f"> before\n>\n> ```calc\n> {GOOD}\n> ```\n>\n> after",
    "in a quote, touching": f"> before\n> ```calc\n> {GOOD}\n> ```\n> after",
    "over several lines": "```calc\ntempo:\n  bpm: 120 BPM\n\n  pulses_per_quarter: 4\n```",
}


@pytest.mark.parametrize("body", RUN.values(), ids=RUN)
def test_a_fence_runs(body: str) -> None:
    html, problems, _ = guide_text(body)
    assert problems == []
    page = Markup(html)
    assert [found.get("class") for _, found in page.tags].count("hs-calc") == 1
    assert page.faults == []
    assert "120 BPM" in page.text
    assert "calc" not in page.text.partition("Tempo")[0]


@pytest.mark.parametrize("body", RUN.values(), ids=RUN)
def test_nothing_around_a_fence_is_lost(body: str) -> None:
    text = Markup(guide_text(body)[0]).text
    for word in ("before", "after", "next"):
        assert (word in body) == (word in text)


def test_list_items_after_a_fence_stay_items() -> None:
    html, _, _ = guide_text(RUN["in a list, touching"])
    assert [tag for tag, _ in Markup(html).tags][:2] == ["ul", "li"]
    assert html.rstrip().endswith("<p>next</p>\n</li>\n</ul>")


SHOWN = {
    "in a longer fence": f"````\n```calc\n{BAD}\n```\n````",
    "in tildes": f"~~~ text\n```calc\n{BAD}\n```\n~~~",
    "in indented code": f"text\n\n    ```calc\n    {BAD}\n    ```\n",
}


@pytest.mark.parametrize("body", SHOWN.values(), ids=SHOWN)
def test_an_example_of_a_fence_is_shown_and_not_run(body: str) -> None:
    html, problems, _ = guide_text(body)
    assert problems == []
    assert "hs-calc" not in html
    assert Markup(html).text.strip().endswith(f"```calc\n{BAD}\n```")


def test_the_word_calc_in_a_line_is_only_a_word() -> None:
    html, problems, _ = guide_text("Write ```calc``` there.\n\n```calc``` stands first here.")
    assert problems == []
    assert Markup(html).text.strip() == "Write calc there.\ncalc stands first here."


NO_TMPO = 'there is no calculator "tmpo"; did you mean "tempo"?'
NOTHING_BEHIND = "a calculation takes nothing behind the word calc"
NOT_CLOSED = "the calculation that begins here is not closed"
BESIDE_A_MARK = "a calculation cannot begin in the line of a list mark"

MISTAKES = {
    "bad value": (f"```calc\n{BAD}\n```", 2, COLUMN, '"120 xx" has an unknown unit "xx"'),
    "with tildes": (f"text\n\n~~~calc\n{BAD}\n~~~", 4, COLUMN, '"120 xx" has'),
    "in a list": (f"- a\n\n    ```calc\n    {BAD}\n    ```", 4, COLUMN + 4, '"120 xx" has'),
    "in a list, touching": (f"- a\n    ```calc\n    {BAD}\n    ```", 3, COLUMN + 4, '"120 xx" has'),
    "in a quote": (f"> a\n>\n> ```calc\n> {BAD}\n> ```", 4, COLUMN + 2, '"120 xx" has'),
    "value on a line of its own": ("```calc\ntempo:\n\n  bpm: 120 xx\n```", 4, 8, '"120 xx" has'),
    "empty lines first": (f"- a\n\n    ```calc\n\n\n    {BAD}\n    ```", 6, COLUMN + 4, '"120 xx" has'),
    "second of two alike": (f"```calc\n{GOOD}\n```\n\n```calc\n{BAD}\n```", 6, COLUMN, '"120 xx" has'),
    "unknown calculator": ("```calc\ntmpo: {bpm: 120 BPM}\n```", 2, 1, NO_TMPO),
    "unknown input": ("```calc\ntempo: {bpm: 120 BPM, puls: 4}\n```", 2, 29, "tempo has no such input; "),
    "broken YAML": ("```calc\ntempo:\n  bpm: [120\n```", 3, 8, "a [ or { that is not closed"),
    "a key twice": ("```calc\ntempo:\n  bpm: 1 BPM\n  bpm: 2 BPM\n```", 4, 3, '"bpm" stands here a second'),
    "two calculators": (f"```calc\n{GOOD}\nrc: {{}}\n```", 2, 1, "a calculation is one calculator's name"),
    "a list": ("```calc\n- tempo\n```", 2, 1, "a calculation is one calculator's name"),
    "nothing in it": ("```calc\n```", 2, 1, "the file holds no record"),
    "an option": (f"text\n\n```calc title=x\n{GOOD}\n```", 3, 1, NOTHING_BEHIND),
    "a class": (f"```calc {{.wide}}\n{GOOD}\n```", 1, 1, NOTHING_BEHIND),
    "a forged number": (f'```calc line="7"\n{GOOD}\n```', 1, 1, NOTHING_BEHIND),
    "not closed": (f"text\n\n```calc\n{GOOD}\n\nmore", 3, 1, NOT_CLOSED),
    "left by its quote": (f"> ```calc\n> {GOOD}\nmore\n\n```\n{GOOD}\n```", 1, 1, NOT_CLOSED),
    "closed by the other kind": (f"```calc\n{GOOD}\n~~~", 1, 1, NOT_CLOSED),
    "on one line": ("```calc tempo: {bpm: 1 BPM} ```", 1, 1, "a calculation is written on one line"),
    "beside a list mark": (f"- ```calc\n  {GOOD}\n  ```", 1, 1, BESIDE_A_MARK),
}  # fmt: skip


@pytest.mark.parametrize(("body", "at", "column", "what"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_told_at_its_place(body: str, at: int, column: int, what: str) -> None:
    problems = guide_text(body)[1]
    assert len(problems) == 1, problems
    assert problems[0].startswith(f"guides/g.md:{line(at)}:{column}: {what}"), problems


def test_a_calculation_that_cannot_be_done_says_so_on_the_page() -> None:
    html, problems, _ = guide_text(f"```calc\n{BAD}\n```")
    page = Markup(html)
    assert ("section", {"class": "hs-calc hs-calc-problem", "role": "alert"}) in page.tags
    assert problems[0].partition(" ")[2] in page.text


def test_a_fence_after_an_example_of_one_keeps_its_line() -> None:
    problems = guide_text(f"````\n```calc\n{BAD}\n```\n````\n\n```calc\n{BAD}\n```")[1]
    assert [each.split(": ")[0] for each in problems] == [f"guides/g.md:{line(8)}:{COLUMN}"]


FAULT = """\
title: A fault
models: pacer
block: clock
symptoms: something
cause: {cause}
fix:
  - First this.
  - {fix}
"""


def problems_of_fault(tmp_path: Path, cause: str = "None.", fix: str = "Then that.") -> list[str]:
    text = FAULT.format(cause=cause, fix=fix)
    return found_in(copied(tmp_path / "shop", {"faults/a-fault.yml": text}))


def test_in_a_block_text_the_place_is_that_of_the_value(tmp_path: Path) -> None:
    cause = f"|\n  One.\n\n  ```calc\n  {BAD}\n  ```"
    fix = f"|\n    Two.\n\n    - three\n\n        ```calc\n        {BAD}\n        ```"
    problems = problems_of_fault(tmp_path, cause, fix)
    assert [each.split(": ")[0] for each in problems] == [
        f"faults/a-fault.yml:9:{COLUMN + 2}",
        f"faults/a-fault.yml:19:{COLUMN + 8}",
    ]


@pytest.mark.parametrize(
    "cause", [f">\n  One.\n\n\n  ```calc\n\n  {BAD}\n\n  ```", f'"One.\\n\\n```calc\\n{BAD}\\n```"']
)
def test_in_a_folded_or_quoted_text_the_place_is_that_of_the_field(tmp_path: Path, cause: str) -> None:
    problems = problems_of_fault(tmp_path, cause)
    assert [each.split(': "')[0] for each in problems] == ["faults/a-fault.yml:5:8"]


def test_a_fence_that_folding_put_on_one_line_is_complained_of(tmp_path: Path) -> None:
    problems = problems_of_fault(tmp_path, f">\n  One.\n\n  ```calc\n  {GOOD}\n  ```")
    assert len(problems) == 1
    assert problems[0].startswith("faults/a-fault.yml:5:8: a calculation is written on one line")
    assert "begin the text with | and not >" in problems[0]


def test_nobody_can_write_the_number_of_a_fence() -> None:
    assert line_of({"line": "3"}) is None
    assert line_of({}) is None
    made = ready("text\n\n```calc\n```").text.split("\n")[2]
    assert as_written(made) == "```calc"
    assert line_of({"line": made.partition('"')[2].rstrip('"')}) == 2


@pytest.mark.parametrize(
    "text", ["", "\n", "text\n\nmore", "    code\n    ```\n    more", "`a`", "- a\n- b\n"]
)
def test_a_text_without_fences_stays_as_it_is(text: str) -> None:
    assert ready(text).text == text
