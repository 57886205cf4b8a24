"""Every mistake comes back as exactly the lines its golden case says, and every message has a case."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.shop import load_shop
from tests.golden.cases import Case, lay_out, read_cases
from tests.golden.messages import Message, messages_in

CASES = read_cases()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_problem_lines_are_exactly_these(case: Case, tmp_path: Path) -> None:
    shop, problems = load_shop(lay_out(case, tmp_path))
    assert [str(problem) for problem in problems] == case.problems
    assert (shop is None) == bool(case.problems)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_each_line_is_one_line_with_a_place_and_advice(case: Case) -> None:
    for line in case.problems:
        assert line.isprintable()
        assert "; " in line


# What no golden case can say, and where it is held instead.
WITHOUT_A_CASE = {
    "there is no folder “…”": "test_unreadable_files: not a shop at all",
    "the folder cannot be read (…)": "test_unreadable_files: no case can lay a file where a folder is",
    "a group of … phrases": "shop/test_synonyms: as long as a page",
    "there are … groups": "shop/test_synonyms: longer still",
    "this is not YAML": "test_any_text: a file with such characters is refused before it is parsed",
    "this is not YAML (…)": "nowhere: no text is known whose complaint has no words of our own",
}
MESSAGES = messages_in("reading", "records", "shop")


@pytest.mark.parametrize("message", [each for each in MESSAGES if str(each) not in WITHOUT_A_CASE], ids=str)
def test_every_message_has_a_case(message: Message) -> None:
    assert any(message.is_said_in(line) for case in CASES for line in case.problems)


def test_no_excuse_outlives_its_message() -> None:
    assert set(WITHOUT_A_CASE) <= {str(message) for message in MESSAGES}
