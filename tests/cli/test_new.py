"""A new record passes the check as it is written, explains every field, and overwrites nothing."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.cli import asking
from kb.cli import new as new_module
from kb.cli.drafting import PLACES
from kb.reading import read_record
from kb.reading.folder import FOLDERS
from kb.records import CalculationText, Fault, GuideHead, Job, Model, Part, Reading, Written
from kb.shop import load_shop
from tests.cli.shops import as_editors_read, is_text, run, started
from tests.cli.test_schema import complaints

LEAST = {"model": (), "fault": (), "part": (), "guide": (), "job": ("--serial", "XCB-0301")}
TYPES: Mapping[str, type[Written]] = {
    "model": Model, "fault": Fault, "part": Part, "guide": GuideHead, "job": Job,
}  # fmt: skip
FILES_OF_ITS_OWN = ("photos", "captures")
"""Fields whose example names a file that a fresh shop has not got."""

FIELD = re.compile(r"#((?:  )*)(- )?([a-z_]+):")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh shop with one new record of every kind."""
    folder = started(tmp_path_factory.mktemp("shops") / "shop")
    for kind, options in LEAST.items():
        result = run("new", kind, "new-one", "--shop", str(folder), *options)
        assert result.exit_code == 0, result.output
    return folder


def file_of(shop: Path, kind: str, identifier: str = "new-one") -> Path:
    return shop / PLACES[kind] / f"{identifier}{'.md' if kind == 'guide' else '.yml'}"


def read(shop: Path, kind: str, identifier: str = "new-one", text: str | None = None) -> Any:
    """The record as the reader has it."""
    path = file_of(shop, kind, identifier)
    data = path.read_bytes() if text is None else text.encode()
    located, problems = read_record(data, path.name, identifier, FOLDERS[PLACES[kind]])
    assert located, [str(each) for each in problems]
    return located.record.head if kind == "guide" else located.record  # type: ignore[attr-defined]


# What stands as a comment, and how it is put to use


def template_lines(kind: str) -> list[str]:
    """The lines of a new record, written without a shop folder being kept."""
    return _written(kind).splitlines()


_TEXTS: dict[str, str] = {}


def _written(kind: str) -> str:
    if kind not in _TEXTS:
        import tempfile  # noqa: PLC0415 - only while tests are collected

        with tempfile.TemporaryDirectory() as folder:
            shop = started(Path(folder) / "shop")
            run("new", kind, "new-one", "--shop", str(shop), *LEAST[kind])
            _TEXTS[kind] = file_of(shop, kind).read_text(encoding="utf-8")
    return _TEXTS[kind]


def block_at(lines: Sequence[str], start: int) -> range:
    """The lines that belong to the commented field in line `start`: those indented under it."""
    match = FIELD.match(lines[start])
    assert match
    depth = len(match[1])
    end = start + 1
    while end < len(lines) and lines[end].startswith("#"):
        text = lines[end][1:]
        if not text.startswith("#") and len(text) - len(text.lstrip()) <= depth:
            break
        end += 1
    return range(start, end)


def commented_fields(kind: str) -> Iterator[tuple[int, str]]:
    """Line and name of each commented field that is not inside another one."""
    lines = template_lines(kind)
    inside: range = range(0)
    for number, line in enumerate(lines):
        match = FIELD.match(line)
        if match and number not in inside:
            inside = block_at(lines, number)
            yield number, match[3]


def in_use(lines: Sequence[str], which: range) -> str:
    """The record with the single hash taken from the lines in `which`."""
    return (
        "\n".join(
            line[1:] if number in which and not line.startswith("##") else line
            for number, line in enumerate(lines)
        )
        + "\n"
    )


def all_in_use(kind: str) -> str:
    lines = template_lines(kind)
    return (
        "\n".join(line[1:] if FIELD.match(line) or re.match(r"#(?:  )+\S", line) else line for line in lines)
        + "\n"
    )


FIELDS = [(kind, number, name) for kind in TYPES for number, name in commented_fields(kind)]


@pytest.mark.parametrize(
    ("kind", "number"), [(kind, number) for kind, number, _ in FIELDS],
    ids=[f"{kind}-{number + 1}-{name}" for kind, number, name in FIELDS],
)  # fmt: skip
def test_each_field_can_be_put_to_use_by_itself(shop: Path, kind: str, number: int) -> None:
    lines = template_lines(kind)
    text = in_use(lines, block_at(lines, number))
    name = FIELD.match(lines[number])[3]  # type: ignore[index]
    read(shop, kind, text=text)
    assert complaints(kind, text) == []
    path = file_of(shop, kind)
    before = path.read_bytes()
    path.write_text(text, encoding="utf-8")
    try:
        found, problems = load_shop(shop)
    finally:
        path.write_bytes(before)
    if name in FILES_OF_ITS_OWN:
        assert [each.what.startswith("there is no file") for each in problems] == [True]
    else:
        assert found, [str(each) for each in problems]


@pytest.mark.parametrize("kind", TYPES)
def test_all_fields_can_be_put_to_use_at_once(shop: Path, kind: str) -> None:
    read(shop, kind, text=all_in_use(kind))
    assert complaints(kind, all_in_use(kind)) == []


# Every field is there


def types_in(annotation: Any) -> Iterator[type[Written]]:
    if isinstance(annotation, type) and issubclass(annotation, Written):
        if annotation not in (Reading, CalculationText):
            yield annotation
    else:
        for part in get_args(annotation):
            yield from types_in(part)


def keys_used(kind: type[Written], value: Any, found: dict[type[Written], set[str]]) -> None:
    """Collect the keys that `value`, written as a `kind`, and everything in it use."""
    for item in value if isinstance(value, list) else [value]:
        if not isinstance(item, dict):
            continue
        found.setdefault(kind, set()).update(item)
        for key, under in item.items():
            for inner in types_in(kind.model_fields[key].annotation):
                keys_used(inner, under, found)


def all_types(kind: type[Written]) -> set[type[Written]]:
    inner = {each for field in kind.model_fields.values() for each in types_in(field.annotation)}
    return {kind}.union(*(all_types(each) for each in inner))


@pytest.mark.parametrize("kind", TYPES)
def test_every_field_of_the_record_and_of_what_lies_in_it_stands_in_the_file(kind: str) -> None:
    found: dict[type[Written], set[str]] = {}
    keys_used(TYPES[kind], as_editors_read(all_in_use(kind)), found)
    assert found == {each: set(each.model_fields) for each in all_types(TYPES[kind])}


@pytest.mark.parametrize("kind", TYPES)
def test_every_comment_is_either_an_explanation_or_a_field(kind: str) -> None:
    lines = template_lines(kind)
    fields = {number for at, _ in commented_fields(kind) for number in block_at(lines, at)}
    stray = [
        line
        for number, line in enumerate(lines)
        if line.startswith("#")
        and number not in fields
        and not line.startswith(("## ", "# yaml-language-server"))
    ]
    assert [line for line in stray if not (kind == "guide" and re.match("## First heading", line))] == []


# What is written


def test_new_records_pass_the_check_as_they_are(shop: Path) -> None:
    result = run("check", str(shop))
    assert (result.exit_code, result.stderr) == (0, "")


@pytest.mark.parametrize("kind", TYPES)
def test_new_records_please_an_editor_and_name_their_schema(shop: Path, kind: str) -> None:
    text = file_of(shop, kind).read_text(encoding="utf-8")
    assert complaints(kind, text) == []
    if kind != "guide":
        target = text.splitlines()[0].partition("$schema=")[2]
        assert (file_of(shop, kind).parent / target).resolve() == (shop / f"schemas/{kind}.json").resolve()


def test_a_shop_without_schemas_gets_no_comment_that_leads_nowhere(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    for path in (shop / "schemas").iterdir():
        path.unlink()
    run("new", "part", "coil", "--shop", str(shop))
    assert "$schema" not in file_of(shop, "part", "coil").read_text(encoding="utf-8")


def test_the_message_says_where_and_what_next(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = started(tmp_path / "my shop")
    result = run("new", "part", "coil", "--shop", str(shop), "--name", "Coil", "--kind", "coil")
    assert result.stdout == f"{shop / 'parts/coil.yml'} written; edit it, then halfsplit check '{shop}'\n"
    monkeypatch.chdir(shop)
    result = run("new", "part", "core", "--name", "Core")
    assert result.stdout == (
        "parts/core.yml written; edit it, then halfsplit check\n--kind was not given; taken: component\n"
    )


def test_a_fault_holds_what_was_typed(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    result = run(
        "new", "fault", "no-pulse", "--shop", str(shop), "--model", "example-clock-box", "--block", "divider",
        "--revisions", "b", "--title", "-: 'no' # pulse", "--symptom", "NO", "--symptom", "one\ntwo: three",
        "--cause", "- first\n\n  indented", "--fix", "look\n", "--fix", "# again",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    fault = read(shop, "fault", "no-pulse")
    assert fault.title == "-: 'no' # pulse"
    assert fault.symptoms == ("NO", "one two: three")
    assert fault.cause == "- first\n\n  indented\n"
    assert fault.fix == ("look\n", "# again\n")
    assert (fault.revisions, fault.confirmed) == (("b",), True)
    assert run("check", str(shop)).exit_code == 0


def test_a_cause_that_nobody_gave_is_not_confirmed(shop: Path) -> None:
    assert read(shop, "fault").confirmed is False


def one_line(text: str) -> str:
    return re.sub(r"[\r\n]", " ", text).strip()


TYPED = st.text(st.characters(codec="utf-8"), min_size=1, max_size=40).filter(is_text)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(title=TYPED, symptom=TYPED)
def test_any_text_in_an_option_reads_back(shop: Path, title: str, symptom: str) -> None:
    result = run("new", "fault", "typed", "--shop", str(shop), f"--title={title}", f"--symptom={symptom}")
    assert result.exit_code == 0, result.output
    try:
        fault = read(shop, "fault", "typed")
    finally:
        file_of(shop, "fault", "typed").unlink()
    assert (fault.title, fault.symptoms) == (one_line(title), (one_line(symptom),))


def test_faults_and_jobs_go_into_the_folders_a_shop_keeps_for_them(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    (shop / "faults/example-clock-box").mkdir()
    (shop / "jobs/2031").mkdir()
    run("new", "fault", "dead", "--shop", str(shop))
    run("new", "job", "--shop", str(shop), "--serial", "XCB-0301", "--received", "2031-02-03")
    assert (shop / "faults/example-clock-box/dead.yml").is_file()
    assert "$schema=../../schemas/job.json" in (shop / "jobs/2031/2031-001.yml").read_text(encoding="utf-8")
    assert run("check", str(shop)).exit_code == 0


def test_jobs_are_numbered_within_their_year(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = started(tmp_path / "shop")
    monkeypatch.setattr(new_module, "today", lambda: datetime.date(2026, 1, 2))
    for name in ("2026-007-clock-box", "2025-040", "2026-0815"):
        options = ("--shop", str(shop), "--serial", "XCB-0301", "--received", "2025-12-31")
        assert run("new", "job", name, *options).exit_code == 0
    assert run("new", "job", "--shop", str(shop), "--serial", "XCB-0301").exit_code == 0
    job = read(shop, "job", "2026-816")
    assert job.received == datetime.date(2026, 1, 2)
    (shop / "jobs/2026-0815.yml").write_text("spoilt", encoding="utf-8")
    (shop / "jobs/2026-816.yml").unlink()
    assert run("new", "job", "--shop", str(shop), "--serial", "XCB-0301").exit_code == 0
    assert file_of(shop, "job", "2026-816").is_file()


def test_a_new_job_tells_of_earlier_visits_of_the_unit(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    assert "here before: example-job" in run("new", "job", "--shop", str(shop), "--serial", "xcb 42").output
    assert "here before" not in run("new", "job", "--shop", str(shop), "--serial", "XCB-0043").output


def test_marks_that_were_seen_go_into_a_new_job(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    command = ("new", "job", "odd", "--shop", str(shop), "--serial", "XCB-0042", "--seen")
    assert run(*command, "R7 is brown black orange (10k)").exit_code == 0
    assert read(shop, "job", "odd").seen == ("R7 is brown black orange (10k)",)
    (shop / "jobs/odd.yml").unlink()
    wrong = run(*command, "R7 is orange orange orange (33k)")
    assert wrong.exit_code == 2
    assert "is a serial of revision a, the marks are those of b" in wrong.output


def test_a_serial_that_tells_no_revision_needs_one(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    command = ("new", "job", "odd", "--shop", str(shop), "--serial", "none, plate lost")
    result = run(*command)
    assert result.exit_code == 2
    assert "lies in no serial range" in result.stderr
    result = run(*command, "--revision", "b", "--outside-because", "plate lost")
    assert result.exit_code == 0
    assert run("check", str(shop)).exit_code == 0


# What is refused


@pytest.mark.parametrize("kind", TYPES)
def test_nothing_is_ever_overwritten(shop: Path, kind: str) -> None:
    before = file_of(shop, kind).read_bytes()
    result = run("new", kind, "new-one", "--shop", str(shop), *LEAST[kind])
    assert result.exit_code == 2
    assert result.stderr == f'there is a {kind} "new-one" already; choose another id, or edit that one\n'
    assert file_of(shop, kind).read_bytes() == before


def test_an_id_taken_by_a_spoilt_record_elsewhere_is_taken(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    (shop / "faults/old").mkdir()
    (shop / "faults/old/dead.yaml").write_text("title: [", encoding="utf-8")
    assert run("new", "fault", "dead", "--shop", str(shop)).exit_code == 2
    assert run("new", "fault", "deaf", "--shop", str(shop)).exit_code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("fault", "No Sound"), '"No Sound" is not an id'),
        (("fault", "../escape"), '"../escape" is not an id'),
        (("fault", "x", "--model", "example-clock-bix"), 'did you mean "example-clock-box"?'),
        (("fault", "x", "--block", "one-shoot"), 'did you mean "one-shot"?'),
        (("fault", "x", "--revisions", "a,z"), 'there is no revision "z"'),
        (
            ("fault", "x", "--revisions", "a", "--block", "divider"),
            "no revision this fault is on has the block",
        ),
        (("fault", "x", "--title", ""), "--title: the text is empty"),
        (("fault", "x", "--title", "bell\x07"), "the character U+0007 is not text"),
        (("fault", "x", "--title", "\ufefftitle"), "the character U+FEFF is not text"),
        (("fault", "x", "--title", "byte\udcff"), "byte 0xFF is not UTF-8"),
        (("fault", "x", "--symptom", "x" * 301), "--symptom: the text has 301 characters"),
        (("job", "x"), "--serial is missing"),
        (("job", "x", "--serial", "XCB-1", "--model", "nothing"), 'there is no model "nothing"'),
        (("job", "x", "--received", "14.3.2024"), '"14.3.2024" is not a date'),
        (("model", "x", "--serials", "some"), '"some" cannot be read as serial numbers'),
    ],
)
def test_what_is_wrong_is_told_in_one_line(shop: Path, words: tuple[str, ...], says: str) -> None:
    before = sorted(shop.rglob("*"))
    result = run("new", *words, "--shop", str(shop))
    assert result.exit_code == 2
    assert says in result.stderr
    assert result.stderr.count("\n") == 1
    assert sorted(shop.rglob("*")) == before


def test_a_folder_that_is_no_shop_is_refused(tmp_path: Path) -> None:
    result = run("new", "part", "coil", "--shop", str(tmp_path))
    assert (result.exit_code, result.stderr.count("\n")) == (2, 1)
    assert "halfsplit start" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_fault_needs_a_model_to_be_on(tmp_path: Path) -> None:
    (tmp_path / "shop.yml").write_text("name: x\n", encoding="utf-8")
    result = run("new", "fault", "dead", "--shop", str(tmp_path))
    assert (result.exit_code, result.stderr) == (
        2,
        "the shop has no model yet; halfsplit new model ID writes one\n",
    )


@pytest.mark.parametrize("kind", ["model", "part", "guide"])
def test_a_shop_may_begin_with_nothing_but_its_card(tmp_path: Path, kind: str) -> None:
    whole = started(tmp_path / "whole")
    bare = tmp_path / "bare"
    bare.mkdir()
    (bare / "shop.yml").write_bytes((whole / "shop.yml").read_bytes())
    assert run("new", kind, "first", "--shop", str(bare)).exit_code == 0
    assert run("check", str(bare)).exit_code == 0


def test_at_a_terminal_it_asks_and_asks_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = started(tmp_path / "shop")
    for module in (asking, new_module):
        monkeypatch.setattr(module, "is_terminal", lambda: True)
    answers = "\nno-such-block\none-shot\n   \nToo short\nNothing moves\n"
    result = run("new", "fault", "dull", "--shop", str(shop), answers=answers)
    assert result.exit_code == 0, result.output
    fault = read(shop, "fault", "dull")
    assert (fault.models, fault.block) == (("example-clock-box",), "one-shot")
    assert (fault.title, fault.symptoms) == ("Too short", ("Nothing moves",))
    result = run("new", "job", "visit", "--shop", str(shop), answers="\nXCB-0007\n")
    assert result.exit_code == 0, result.output
    assert read(shop, "job", "visit").serial == "XCB-0007"
