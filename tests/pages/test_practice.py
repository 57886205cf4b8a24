"""Practice: which faults a unit may have; each reading is on record or follows from the signal flow."""

from __future__ import annotations

import json
import re

from kb.diagnosis.expectations import flow_of
from kb.diagnosis.flow import cones
from kb.pages.practice_data import LEAST_READINGS, practice_data, practice_path, units_of
from kb.pages.practice_page import practice_pages
from kb.pages.sheet import Desk
from tests.benches import demo_shop, small_shop

DESK = Desk(demo_shop(), draws=False)
SHEET = DESK.sheet(practice_path("sixteenfold"))


def test_a_unit_has_a_fault_with_readings_enough_and_comes_in_an_order_that_tells_nothing() -> None:
    units = units_of(DESK, "sixteenfold")
    faults = [DESK.shop.faults[each.fault].record for each in units]
    assert len(faults) > 5
    assert all(len(each.checks) >= LEAST_READINGS for each in faults)
    assert all(each.revision in DESK.shop.revisions_of_fault(fault, "sixteenfold")
               for each, fault in zip(units, faults, strict=True))  # fmt: skip
    assert [each.fault for each in units] != sorted(each.fault for each in units)
    assert units == units_of(DESK, "sixteenfold")


def test_a_model_with_too_few_such_faults_has_no_page() -> None:
    desk = Desk(small_shop(), draws=False)
    assert [practice_pages(desk, model) for model in desk.shop.models] == [[] for _ in desk.shop.models]


def test_what_a_unit_reads_is_on_record_or_kept_from_the_fault_by_the_flow() -> None:
    facts = DESK.shop.facts["sixteenfold"]
    for unit in practice_data(SHEET, "sixteenfold"):
        fault = DESK.shop.faults[unit["fault"]].record
        reach = cones(flow_of(facts, (unit["revision"],)))
        written = {each.check: each for each in fault.checks}
        assert unit["told"] == list(fault.symptoms)
        for check, (outcome, text, means) in unit["reads"].items():
            if check in written:
                assert (text, means) == (written[check].reads.text, written[check].means or "")
            else:
                is_reached = fault.block in reach[facts.check(check).block]
                assert (outcome, text) == ("not_done" if is_reached else "pass", "")


def test_the_page_shows_no_answer_outside_its_data_and_every_caution() -> None:
    (page,) = practice_pages(DESK, "sixteenfold")
    seen = re.sub(r"<script[^>]*>.*?</script>", "", page.body, flags=re.DOTALL)
    data = json.loads(re.findall(r"hs-practice-data\">(.*?)</script>", page.body, re.DOTALL)[0])
    assert len(data["units"]) == len(units_of(DESK, "sixteenfold"))
    for unit in data["units"]:
        assert unit["fault"] not in seen
        assert unit["title"] not in seen
    assert seen.count("hs-caution-title") >= 2
    assert seen.index("hs-caution-mains") < seen.index(
        "Make this check", seen.index('data-check="earth-bond"')
    )
