"""No kind of worked row is forgotten: it is tested, or it is left out with a reason."""

from __future__ import annotations

from tests.diagnosis import test_flow_rows, test_probability_rows, test_search_rows
from tests.reference.diagnosis import ASKED_FOR, left_out, rows


def test_every_kind_of_row_is_tested_or_left_out_with_a_reason() -> None:
    assert all((test_flow_rows, test_probability_rows, test_search_rows))  # reading them asks for their rows
    kinds = {row.kind for row in rows()}
    assert kinds == ASKED_FOR, kinds ^ ASKED_FOR
    assert not kinds & set(left_out())
    assert all(reason for reason in left_out().values())


def test_every_row_names_where_its_answer_comes_from() -> None:
    assert len(rows()) == len({row.id for row in rows()})
    assert all(row.source and row.tolerance <= 1e-9 for row in rows())
