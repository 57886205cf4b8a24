"""A table of notes: what is sure is written and checks clean, everything else is told row by row."""

from __future__ import annotations

import datetime
import re
from html import unescape as html_words
from pathlib import Path

import pytest
from click.testing import Result
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.moving.cell_values import Doubtful, date_of, minutes_of, order_of_dates
from kb.moving.columns import understood
from kb.moving.plain_prose import as_prose
from kb.moving.table_reading import UnreadableTable, read_table
from kb.reading import Located, read_record
from kb.records import Fault
from tests.benches import body_of, copied, found_in, guide_text, loaded
from tests.cli.shops import is_text, run

HEAD = "Instrument,Serial No,Section,Problem,Cause,Repair,Parts,Time (min),Date,Remarks,Colour\n"
ROW = "pacer,PA-0150,clock,lamp flickers,dry joint at R7,reflow it,,25,2024-03-14,,red\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return copied(tmp_path / "my shop №1")


def load(shop: Path, table: str | bytes, *words: str) -> Result:
    file = shop.parent / "notes.csv"
    file.write_bytes(table.encode() if isinstance(table, str) else table)
    return run("load", str(file), "--shop", str(shop), *words)


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def fault_at(path: Path) -> Located[Fault]:
    located, problems = read_record(path.read_bytes(), path.name, path.stem, Fault)
    assert located is not None, problems
    return located


def test_the_first_run_shows_and_writes_nothing(shop: Path) -> None:
    before = files_in(shop)
    found = load(shop, HEAD + ROW)
    assert found.exit_code == 0, found.stderr
    assert "notes.csv: 1 row, UTF-8, comma between columns" in found.stdout
    assert '"Problem" is read as symptom' in found.stdout
    assert '"Colour" is not loaded' in found.stdout
    assert "row 2: to be written: faults/lamp-flickers.yml: lamp flickers" in found.stdout
    assert "--write does" in found.stdout
    assert files_in(shop) == before


def test_what_is_sure_is_written_and_checks_clean(shop: Path) -> None:
    before = files_in(shop)
    assert load(shop, HEAD + ROW, "--write").exit_code == 0
    after = files_in(shop)
    assert set(after) - set(before) == {"faults/lamp-flickers.yml"}
    assert {name: after[name] for name in before} == before
    fault = fault_at(shop / "faults/lamp-flickers.yml").record
    assert (fault.models, fault.revisions, fault.block) == (("pacer",), ("a",), "clock")
    assert (fault.minutes, fault.recorded) == (25, datetime.date(2024, 3, 14))
    assert fault.private_note == "Serial PA-0150.\n"
    assert found_in(shop) == []


def test_loaded_twice_nothing_is_written_twice(shop: Path) -> None:
    assert load(shop, HEAD + ROW, "--write").exit_code == 0
    after = files_in(shop)
    found = load(shop, HEAD + ROW.replace("lamp flickers", "The lamp is flickering"), "--write")
    assert found.exit_code == 1
    assert (
        'row 2: left for you: the same symptom of the same model is in the fault "lamp-flickers"'
        in found.stderr
    )
    assert files_in(shop) == after


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("pacer", "Pacr", 'there is no model "Pacr"; did you mean "pacer"?'),
        ("pacer", "", "no model; --model ID says it for all rows"),
        ("PA-0150", "", "it does not tell the revision"),
        ("PA-0150", "XX-1", 'the serial "XX-1" does not tell one revision of pacer'),
        (",clock,", ",clok,", 'there is no block "clok"; did you mean "clock"?'),
        ("lamp flickers", "", "no symptom"),
        ("dry joint at R7", "", "no cause"),
        ("reflow it", "", "no fix"),
        ("reflow it,", "reflow it,warp coil", 'there is no part "warp coil"'),
        (",25,", ",quick,", '"quick" is no time; write it with its unit'),
        ("2024-03-14", "3/4/2024", '"3/4/2024" may be two days; write year-month-day'),
        ("2024-03-14", "14.3.24", "the year of"),
        ("2024-03-14", "2024-02-30", '"2024-02-30" is no day of the calendar'),
        (",red", ",red,blue", "the row has 12 cells and the head 11"),
        ("lamp flickers", "x" * 301, "the text has 301 characters"),
    ],
)
def test_a_row_that_leaves_a_doubt_is_left_with_the_reason(shop: Path, old: str, new: str, told: str) -> None:
    before = files_in(shop)
    found = load(shop, HEAD + ROW.replace("lamp flickers", "glows") + ROW.replace(old, new, 1), "--write")
    assert found.exit_code == 1
    assert f"row 3: left for you: {told}" in found.stderr
    assert set(files_in(shop)) - set(before) == {"faults/glows.yml"}


def test_the_rest_is_mended_and_loaded_again(shop: Path) -> None:
    rest = shop.parent / "rest.csv"
    spoilt = ROW.replace("pacer", "pacr")
    assert load(shop, HEAD + spoilt, "--rest", str(rest), "--write").exit_code == 1
    mended = rest.read_text(encoding="utf-8").replace("pacr", "pacer", 1)
    assert load(shop, mended, "--write").exit_code == 0
    assert load(shop, mended, "--rest", str(rest)).exit_code == 2


def test_what_is_said_for_all_rows_and_of_columns_goes_before_the_words_of_the_head(shop: Path) -> None:
    table = "Heard,Why,Done\nlamp dims,dry joint,reflow it\n"
    said = ["--map", "Heard=symptom", "--map", "Why=cause", "--map", "Done=fix"]
    found = load(shop, table, *said, "--model", "pacer", "--block", "clock", "--revisions", "all")
    assert found.exit_code == 0, found.stderr
    found = load(shop, table, "--map", "Hear=symptom", "--map", "Why=reason")
    assert found.exit_code == 2
    assert 'there is no column "Hear"; did you mean "Heard"?' in found.stderr
    assert 'there is no field "reason"' in found.stderr


def test_two_columns_for_one_field_are_asked_about(shop: Path) -> None:
    found = load(shop, "Cause,Diagnosis,Problem\na,b,c\n")
    assert found.exit_code == 2
    assert 'the columns "Cause" and "Diagnosis" both look like cause' in found.stderr


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_separator_and_encoding_are_found(separator: str, encoding: str) -> None:
    text = (
        separator.join(["Problem", "Cause"])
        + "\r\n"
        + separator.join(["Gerät brummt", '"two\r\nlines"'])
        + "\r\n"
    )
    table = read_table(text.encode(encoding))
    assert table.head == ("Problem", "Cause")
    assert [row.cells for row in table.rows] == [("Gerät brummt", "two\nlines")]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "no columns"),
        (b"one column\nonly\n", "no columns"),
        (b"a,b;c\n1,2;3\n", "may be parted by comma and semicolon"),
        (b"a,b\n1,\x00\n", "is not text"),
        (b'a,b\n"1,2\n', "no columns"),
        (b"a,b\n\x81,2\n", "encoding cannot be told"),
    ],
)
def test_what_can_be_read_in_two_ways_or_none_is_refused(data: bytes, told: str) -> None:
    with pytest.raises(UnreadableTable, match=told):
        read_table(data)


@pytest.mark.parametrize(
    ("head", "field"),
    [("Symptoms", "symptom"), ("COMPLAINT", "symptom"), ("Cure", "fix"), ("s/n", "serial"),
     ("Réparation", None), ("Work done", "fix"), ("Instrument", "model"), ("Time (min)", "minutes"),
     ("What it was", "cause"), ("What I did", "fix"), ("customer", None)],
)  # fmt: skip
def test_columns_are_told_by_their_words(head: str, field: str | None) -> None:
    assert understood((head, "?"), ()).fields.get(0) == field


def test_a_column_of_dates_tells_its_own_order() -> None:
    assert date_of("3/4/2024", order_of_dates(["14/3/2024", "3/4/2024"])) == datetime.date(2024, 4, 3)
    assert date_of("3/4/2024", order_of_dates(["3/14/2024", "3/4/2024"])) == datetime.date(2024, 3, 4)
    assert order_of_dates(["14/3/2024", "3/14/2024"]) is None
    assert date_of("5.5.2024", None) == datetime.date(2024, 5, 5)


@pytest.mark.parametrize(
    ("cell", "unit", "minutes"),
    [("25", "min", 25), ("1.5", "h", 90), ("1 h", "min", 60), ("25 min", None, 25)],
)
def test_a_time_needs_its_unit_from_somewhere(cell: str, unit: str | None, minutes: int) -> None:
    assert minutes_of(cell, unit) == minutes
    with pytest.raises(Doubtful):
        minutes_of("25", None)


NASTY = ["*", "_", "`", "[x](fault:none)", "# h", "1. a", "- a", "> a", "<b>", "&copy;", "&", "|a|b|", "---",
         "===", "~~~", "```calc", "    x", "\\", "![p](x.jpg)", "<http://x>", "a: b", "{{ x }}", ":--|--",
         "+ a", "* a", "[r]: x", "word", "2", "1)", "http://x"]  # fmt: skip
LINES = st.lists(
    st.sampled_from(NASTY) | st.text("ab<>&*_`[]()#-=~|\\!1.:; ", max_size=8), min_size=1, max_size=4
)
TEXTS = st.lists(LINES.map(" ".join), min_size=1, max_size=3).map("\n".join).filter(is_text)


@settings(max_examples=120)
@given(text=TEXTS)
def test_no_text_is_taken_for_markup(text: str) -> None:
    html, problems, _ = guide_text(as_prose(text))
    assert problems == []
    assert set(re.findall(r"</?(\w+)", html)) <= {"p"}
    assert html_words(re.sub(r"<.*?>", " ", html)).split() == text.split()


def test_cells_stay_text_in_yaml_and_on_the_page(shop: Path) -> None:
    cells = ["pacer", "PA-0150", "clock", "NO: &a [x", "<b>*R7*</b> [x](fault:none)", "1. NO: 0100\n2. # x",
             "", "", "", "=1+1 | ~~~", ""]  # fmt: skip
    row = ",".join('"' + cell.replace('"', '""') + '"' for cell in cells) + "\n"
    found = load(shop, HEAD + row, "--write")
    assert found.exit_code == 0, found.stderr
    fault = fault_at(shop / "faults/no-a-x.yml")
    assert fault.record.title == "NO: &a [x"
    assert found_in(shop) == []
    page = body_of(loaded(shop), "faults/no-a-x.html")
    assert "&lt;b&gt;*R7*&lt;/b&gt; [x](fault:none)" in page
    assert "=1+1 | ~~~" in page


def test_a_failure_half_way_leaves_none_of_the_records(shop: Path) -> None:
    (shop / "faults" / "hums.yml").mkdir()
    before = files_in(shop)
    found = load(shop, HEAD + ROW + ROW.replace("lamp flickers", "hums"), "--write")
    assert found.exit_code != 0
    assert files_in(shop) == before
