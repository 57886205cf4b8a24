"""An exercise as HTML: its question with each set of numbers, a field for the answer, the working closed.

Without scripts the first set and its working are there, and the reader compares for himself. The words a
script says are in `assets/exercise.js`; the numbers it judges by are computed here.
"""

from __future__ import annotations

from markupsafe import Markup

from kb.pages.exercise_reading import Exercise
from kb.pages.prose import Passage
from kb.pages.rendering import render
from kb.problems import Problem

STYLE = "halfsplit/course.css"
SCRIPTS = (
    # In the order they need each other.
    "halfsplit/units.js", "halfsplit/quantities.js", "halfsplit/course.js", "halfsplit/exercise.js",
)  # fmt: skip
"""Loaded by pages with exercises and by courses alone."""


def exercise_html(exercise: Exercise, number: int, shop: str) -> Markup:
    """The block of one exercise, the `number`-th of its page."""
    data = {
        "id": exercise.id,
        "within": exercise.within,
        "answers": [
            [each.answer.value, each.answer.dimension, each.answer.shown] for each in exercise.variants
        ],
    }
    return render("exercise.html", exercise=exercise, number=number, data=data, shop=shop)


def for_the_shop(passage: Passage, line: int, *, everywhere: bool = False) -> Problem | None:
    """Why an exercise may not stand where it does, or None where it may."""
    head = None if everywhere or passage.path else getattr(passage.record.record, "head", None)
    if everywhere or (head is not None and head.audience == "customer"):
        what, advice = "this guide is for customers, and an exercise is for the shop", "take it out"
    elif head is None:
        what, advice = "an exercise stands in a guide, not in a record", "write it in a guide"
    else:
        return None
    return passage.problem(line, 0, what, advice)
