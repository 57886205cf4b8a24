"""The HTML of a report: styles and pictures inside, no script, and a policy that lets nothing else in."""

from __future__ import annotations

import base64
import datetime
import hashlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from importlib import resources
from typing import Any, Literal

from markupsafe import Markup

from kb.audience.handover import FinalCheck, Handover
from kb.audience.public import PublicText
from kb.pages.handover.sheet import ReportSheet
from kb.pages.rendering import render
from kb.problems import Problem
from kb.safety import DEFERENCE, Caution, Cautions

Paper = Literal["A4", "Letter"]

MARK = "<!doctype html>\n<!-- made by halfsplit handover -->\n"
"""How every report begins, and what tells a file that may be replaced from one that may not."""

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


def report_html(report: Handover, paper: Paper | None = None) -> tuple[bytes | None, tuple[Problem, ...]]:
    """The whole report, or None with the problems of its texts.

    With `paper` the sheets have that size; without it the printer decides.
    """
    sheet = ReportSheet()
    styles = _styles(paper)
    document = render(
        "handover/report.html", report=report, styles=styles, policy=_policy(styles),
        received=in_words(report.received), returned=in_words(report.returned) if report.returned else None,
        cautions=cautions_of(report), deference=DEFERENCE, summary=summary(report.final_checks),
        arrival=sheet.prose(report.arrival), advice=sheet.prose(report.advice),
        repairs=[(each, sheet.prose(each.done)) for each in report.repairs],
        photographs=[(_data(each.media_type, each.content), each.shows) for each in report.photographs],
    )  # fmt: skip
    # Its beginning is ours and holds nothing that could be markup of somebody else.
    whole = f"{MARK}{document}"
    return (None, tuple(sheet.problems)) if len(sheet.problems) else (whole.encode(), ())


def problems_of_texts(report: Handover) -> tuple[Problem, ...]:
    """All that `report_html` would refuse in the texts of a report, without making it."""
    sheet = ReportSheet()
    for text in (report.arrival, report.advice, *(each.done for each in report.repairs)):
        sheet.prose(text)
    return tuple(sheet.problems)


def cautions_of(report: Handover) -> tuple[Caution, ...]:
    """Every caution that anything in the report calls for; they stand above all of it."""
    return Cautions().before(*_texts(report), declared=report.hazards)


def summary(checks: tuple[FinalCheck, ...]) -> tuple[bool, str]:
    """Whether all final tests hold, and that in a sentence."""
    failed = [each.what for each in checks if each.result.verdict == "fails"]
    undecided = [each.what for each in checks if each.result.verdict in ("not_done", "not_judged")]
    if not checks:
        return False, "No final test is on record."
    if failed:
        return False, f"{len(failed)} of {len(checks)} final tests did not hold: {'; '.join(failed)}."
    if undecided:
        names = "; ".join(undecided)
        return False, f"{len(undecided)} of {len(checks)} final tests are without a result: {names}."
    return True, "The final test holds." if len(checks) == 1 else f"All {len(checks)} final tests hold."


def in_words(day: datetime.date) -> str:
    """A date that is read the same everywhere: 3 February 2026."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def _styles(paper: Paper | None) -> Markup:
    text = resources.files("kb.pages").joinpath("assets/handover/report.css").read_text(encoding="utf-8")
    size = f"@page {{ size: {paper}; }}\n" if paper else ""
    return Markup(text + size)  # noqa: S704 - our own file, and one of two words


def _policy(styles: str) -> str:
    """What a browser may load: this very style, and pictures that are in the file."""
    digest = base64.b64encode(hashlib.sha256(styles.encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


def _data(media_type: str, content: bytes) -> str:
    return f"data:{media_type};base64,{base64.b64encode(content).decode()}"


def _texts(value: Any) -> Iterator[str]:
    """Every text of a report, places of problems aside."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, PublicText):
        yield value.text
    elif isinstance(value, tuple):
        for each in value:
            yield from _texts(each)
    elif is_dataclass(value):
        for each in fields(value):
            yield from _texts(getattr(value, each.name))
