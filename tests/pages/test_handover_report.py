"""The report as a file: it needs nothing else, runs nothing, and cautions stand above everything else."""

from __future__ import annotations

import base64
import datetime
import hashlib
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from kb.audience.handing_over import hand_over
from kb.audience.handover import (
    Adjustment,
    ChangedPart,
    EarlierRepair,
    FinalCheck,
    FittedPart,
    Handover,
    Measured,
    Photograph,
    Repair,
    Verdict,
)
from kb.audience.public import PublicText
from kb.pages.handover import MARK, report_html
from kb.pages.handover.document import cautions_of, summary
from kb.safety import DEFERENCE, Hazard, hazards
from tests.benches import small_shop
from tests.markup import Markup

HOSTILE = "</style><script>alert(1)</script><img src=x onerror=y> {{ 7 * 7 }} \" ' &lt;b&gt; ]]> -->"


@cache
def report() -> Handover:
    found, problems = hand_over(small_shop(), "2026-pacer-0007")
    assert found is not None, problems
    return found


def page(**changes: object) -> str:
    made, problems = report_html(replace(report(), **changes))  # type: ignore[arg-type]
    assert made is not None, problems
    return made.decode()


def hostile() -> str:
    """A report with markup in every line that a record could bring."""
    plain, bad = report(), HOSTILE
    return page(
        job=bad, shop=replace(plain.shop, name=bad, place=bad, local_code=bad),
        instrument=replace(plain.instrument, maker=bad, name=bad, kind=bad, serial=bad), reference=bad,
        complaint=(bad,), earlier=(EarlierRepair(bad, "undo", bad),), changed=(ChangedPart(bad, bad, bad),),
        adjustments=(Adjustment(bad, bad, bad, Measured(bad, "fails"), Measured(bad, "holds")),),
        repairs=(Repair(bad, None, bad, bad),), parts=(FittedPart(bad, bad, bad, 1),),
        final_checks=(FinalCheck(bad, bad, Measured(bad, "fails")),), cautions=(bad,),
        readings=tuple(replace(each, what=bad, good=bad, before=Measured(bad, "fails"))
                       for each in plain.readings),
        photographs=(Photograph("image/png", b"", bad),),
    )  # fmt: skip


def test_it_begins_with_the_mark_that_tells_it_from_other_files() -> None:
    assert page().startswith(MARK)
    assert MARK.startswith("<!doctype html>\n")


def test_the_policy_lets_in_this_style_and_pictures_of_the_file_alone() -> None:
    style = re.search(r"<style>(.*?)</style>", page(), re.DOTALL)
    assert style is not None
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page())
    assert policy is not None
    assert policy[1].replace("&#39;", "'") == (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


@pytest.mark.parametrize("made", [page, hostile])
def test_nothing_runs_and_nothing_is_fetched(made: Callable[[], str]) -> None:
    found = Markup(made()).tags
    tags = [tag for tag, _ in found]
    assert not {"script", "link", "iframe", "object", "form", "base"} & set(tags)
    assert not [each for _, attributes in found for each in attributes if each == "style" or each[:2] == "on"]
    assert all(str(each["src"]).startswith("data:image/") for _, each in found if "src" in each)
    assert tags.count("style") == 1
    assert "@import" not in made()
    assert "url(" not in made()


def test_what_records_say_is_text() -> None:
    parsed = [Markup(each) for each in (page(), hostile())]
    assert [each.faults for each in parsed] == [[], []]
    assert len({frozenset(tag for tag, _ in each.tags) - {"em"} for each in parsed}) == 1
    assert "{{ 7 * 7 }}" in hostile()


def test_a_picture_is_inside_with_its_words_and_nothing_of_its_file() -> None:
    found = re.search(r'<img src="data:image/png;base64,([^"]*)" alt="the board after the work">', page())
    assert found is not None
    content = base64.b64decode(found[1])
    assert content.startswith(b"\x89PNG")
    assert not re.search(rb"tEXt|iTXt|zTXt|eXIf|tIME|iCCP", content)
    assert "pacer.png" not in page()


def test_all_that_belongs_to_a_report_stands_in_it_in_order() -> None:
    headings = re.findall(r"<h2[^>]*>(?:<span[^>]*>([^<]*)</span>)?\s*([^<]*)</h2>", page())
    assert ["".join(each).strip() for each in headings] == [
        "Caution:before you use it", "When it came in", "Earlier work we met", "What we found and did",
        "Readings before and after", "What was adjusted", "Parts fitted", "Final tests", "Pictures",
        "Our advice", "Handed over",
    ]  # fmt: skip
    for words in (
        "PA-0007", "ref-1", "2 February 2026", "9 February 2026", "drum machine misses beats",
        "C3 replaced by a tantalum bead", "done again", "wrong way round",
        "the beat was too short for other machines", "Made longer by one new resistor.", "4.5 ms, ",
        "10 ms to 20 ms", "15 ms, ", "RATE, RV1 beside the lamp", "1.98 Hz to 2.02 Hz",
        "2.00 Hz, ", "74LS123", "IC1", "keep it away from the radiator", "<em>often</em>",
        "Technician", "Owner", "Date",
    ):  # fmt: skip
        assert words in page(), words
    for words in ("Took a second resistor", "Sent home with the short report", "25 min", "pacer-short-pulse",
                  "stiff, but it turns"):  # fmt: skip
        assert words not in page(), words


def test_a_trimmer_that_was_left_alone_is_not_told_as_turned() -> None:
    (turned,) = report().adjustments
    row = r"<tr><th scope=\"row\">RATE.*?</tr>"
    left = re.search(row, page(adjustments=(replace(turned, after=None),)), re.DOTALL)
    assert left is not None
    assert "not turned" in left[0]
    failed = re.search(row, page(adjustments=(replace(turned, after=Measured("3 Hz", "fails")),)), re.DOTALL)
    assert failed is not None
    assert "does not hold" in failed[0]


# Cautions


@pytest.mark.parametrize("hazard", hazards().values(), ids=lambda hazard: hazard.id)
@pytest.mark.parametrize("how", ["declared", "named"])
def test_a_hazard_is_told_in_the_owners_words_above_all_that_names_it(hazard: Hazard, how: str) -> None:
    changes = {"hazards": (hazard.id,)} if how == "declared" else {"cautions": (f"the {hazard.words[0]}",)}
    text = page(**changes).replace("&#39;", "'")
    for line in hazard.customer:
        assert text.index(line) < text.index("When it came in")
    assert not any(line in text for line in hazard.shop)


def test_the_case_stays_shut_and_the_shop_is_asked_whatever_the_hazards_are() -> None:
    bare = page(hazards=(), cautions=(), complaint=(), earlier=(), repairs=(), readings=(), parts=(),
                final_checks=(), changed=(), adjustments=(), photographs=(), arrival=None,
                advice=None)  # fmt: skip
    for text in (bare, page()):
        assert "Do not open the case" in text
        assert f"ask {report().shop.name} first. {DEFERENCE} Here: {report().shop.local_code}" in text
        assert "pull the plug" in text


def test_each_text_of_the_report_is_looked_at_for_hazards() -> None:
    for changes in (
        {"complaint": ("the battery leaks",)},
        {"earlier": (EarlierRepair("battery changed", "keep", "sound"),)},
        {"repairs": (Repair("flat battery", None, None, None),)},
        {"parts": (FittedPart("cell", "backup battery", None, 1),)},
        {"changed": (ChangedPart("backup battery", None, "3.6 V"),)},
        {"adjustments": (Adjustment("CHARGE", "beside the battery", "3 mA", None, None),)},
        {"advice": replace(_text(), text="Change the battery.\n")},
    ):
        other = replace(report(), **changes)  # type: ignore[arg-type]
        assert "batteries" in {each.hazard.id for each in cautions_of(other)}, changes


def _text() -> PublicText:
    text = report().advice
    assert text is not None
    return text


# What is said of the final tests


def check(verdict: Verdict, what: str = "Earth") -> FinalCheck:
    return FinalCheck(what, "at most 0.2 ohm", Measured("0.1 ohm", verdict))


@pytest.mark.parametrize(
    ("verdicts", "says"),
    [
        ((), (False, "No final test is on record.")),
        (("holds",), (True, "The final test holds.")),
        (("holds", "holds"), (True, "All 2 final tests hold.")),
        (("holds", "fails"), (False, "1 of 2 final tests did not hold: Earth.")),
        (("not_done", "fails"), (False, "1 of 2 final tests did not hold: Earth.")),
        (("not_done", "holds"), (False, "1 of 2 final tests are without a result: Earth.")),
        (("not_judged",), (False, "1 of 1 final tests are without a result: Earth.")),
    ],
)
def test_the_summary_claims_no_more_than_was_measured(
    verdicts: tuple[Verdict, ...], says: tuple[bool, str]
) -> None:
    checks = tuple(check(each) for each in verdicts)
    assert summary(checks) == says
    assert says[1] in page(final_checks=checks)
    assert ("does not hold</span>" in page(final_checks=checks, readings=(), adjustments=())) == (
        "fails" in verdicts
    )


def test_the_paper_is_named_only_where_it_was_asked_for() -> None:
    for paper in ("A4", "Letter"):
        made, _ = report_html(report(), paper)  # type: ignore[arg-type]
        assert made is not None
        assert f"@page {{ size: {paper}; }}" in made.decode()
    assert "size:" not in re.sub(r"font-size|box-sizing", "", page())


def test_a_unit_that_is_still_here_has_not_gone_home() -> None:
    assert "not yet" in page(returned=None)
    assert "1 May 2026" in page(returned=datetime.date(2026, 5, 1))
