"""A dump holds everything, says what its schema says, and comes back as the same shop."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.moving import UnreadableDump, dump_of, dump_schema, dump_text, read_dump, unpacked
from kb.moving.yaml_writing import record_text
from kb.pages import build_site
from kb.reading import read_record
from kb.records import Fault
from kb.shop import Shop, load_shop
from tests.benches import HANDBOOK, ONE_BENCH
from tests.cli.shops import is_text, run, started

KINDS = ("models", "faults", "parts", "guides", "jobs", "calculators")


def shop_in(folder: Path) -> Shop:
    shop, problems = load_shop(folder)
    assert shop is not None, problems
    return shop


def without_texts(dump: dict[str, Any]) -> dict[str, Any]:
    """The dump as a program would write it that knows nothing of our files' text."""
    bare = json.loads(json.dumps(dump))
    for entry in (bare["shop"], *(each for kind in KINDS for each in bare[kind])):
        del entry["text"]
    bare.get("synonyms", {}).pop("text", None)
    return bare  # type: ignore[no-any-return]


def written(files: dict[str, bytes], folder: Path) -> Path:
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


@pytest.fixture(scope="module")
def demo_dump(demo_content: Path) -> dict[str, Any]:
    return dump_of(shop_in(demo_content), with_files=True)


def test_the_dump_is_as_its_schema_says(demo_dump: dict[str, Any]) -> None:
    schema = dump_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(json.loads(dump_text(demo_dump)))
    assert json.loads(run("schema", "dump").stdout) == schema


def test_every_record_of_the_folder_is_in_the_dump(demo_dump: dict[str, Any], demo_content: Path) -> None:
    held = {each["file"] for kind in KINDS for each in demo_dump[kind]}
    held |= {each["name"] for each in demo_dump["files"]}
    there = {
        path.relative_to(demo_content).as_posix()
        for folder in (*KINDS, "photos", "captures")
        for path in (demo_content / folder).rglob("*.*")
    }
    assert there <= held


def test_files_come_back_byte_for_byte(demo_dump: dict[str, Any], demo_content: Path) -> None:
    files, missing = unpacked(read_dump(dump_text(demo_dump).encode(), "d.json"), lambda _: None)
    assert missing == ()
    assert [name for name in files if files[name] != (demo_content / name).read_bytes()] == []


def test_records_come_back_without_their_texts_too(demo_dump: dict[str, Any], tmp_path: Path) -> None:
    bare = without_texts(demo_dump)
    files, _ = unpacked(read_dump(dump_text(bare).encode(), "d.json"), lambda _: None)
    assert without_texts(dump_of(shop_in(written(files, tmp_path)), with_files=True)) == bare


def test_they_make_the_same_site(tmp_path: Path) -> None:
    bare = without_texts(dump_of(shop_in(ONE_BENCH), with_files=True))
    files, _ = unpacked(read_dump(dump_text(bare).encode(), "d.json"), lambda _: None)
    sites = []
    for folder in (ONE_BENCH, written(files, tmp_path)):
        shop, _ = load_shop(folder, HANDBOOK)
        assert shop is not None
        site, problems = build_site(shop)
        assert site is not None, problems
        sites.append((site.pages, site.assets))
    assert sites[0] == sites[1]


def test_a_changed_record_wins_over_the_text_beside_it(demo_dump: dict[str, Any]) -> None:
    changed = json.loads(dump_text(demo_dump))
    changed["parts"][0]["record"]["name"] = "NO: 0100"
    files, _ = unpacked(read_dump(dump_text(changed).encode(), "d.json"), lambda _: None)
    part = files[changed["parts"][0]["file"]].decode()
    assert part.startswith("name: 'NO: 0100'\n")


LINES = st.text(st.characters(codec="utf-8"), min_size=1, max_size=40).filter(is_text)
TRICKY = st.sampled_from(
    ["NO", "1:30", "0100", "2024-03-14", "~", "null", "- a", "a: b", "# x", "'", "| x", "&a", "*a", "!t", "%",
     "@", "---", "...", "<<", "=", "0x1F", "1_000", ".5", "Yes", "a\tb", " a", "a ", "\u00e9", "\U0001f50a"]
)  # fmt: skip
ONE_LINE = (TRICKY | LINES).map(lambda text: text.replace("\n", " ").replace("\r", " ")).filter(is_text)
PROSE = st.lists(TRICKY | LINES | st.just(""), min_size=1, max_size=4).map("\n".join).filter(is_text)


@settings(max_examples=150)
@given(title=ONE_LINE, symptoms=st.lists(ONE_LINE, min_size=1, max_size=3), cause=PROSE, bpm=ONE_LINE)
def test_any_text_comes_back_as_it_was(title: str, symptoms: list[str], cause: str, bpm: str) -> None:
    says = {
        "title": title.strip(), "models": ["m"], "block": "b",
        "symptoms": [each.strip() for each in symptoms],
        "cause": cause.rstrip() + "\n", "fix": [cause.rstrip() + "\n"], "minutes": 12, "confirmed": False,
        "calculations": [{"tempo": {"bpm": bpm.strip()}}],
    }  # fmt: skip
    located, problems = read_record(record_text(Fault, says).encode(), "f.yml", "f", Fault)
    assert located is not None, problems
    assert located.record.model_dump(mode="json", exclude_unset=True) == says


def change(**changes: Any) -> Callable[[dict[str, Any]], dict[str, Any]]:
    return lambda dump: {**dump, **changes}


def in_first_fault(**changes: Any) -> Callable[[dict[str, Any]], dict[str, Any]]:
    return lambda dump: {**dump, "faults": [{**dump["faults"][0], **changes}]}


def with_file(**file: Any) -> Callable[[dict[str, Any]], dict[str, Any]]:
    return change(files=[{"name": "photos/a.jpg", "size": 0, "sha256": "0" * 64, **file}])


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (change(format="something else"), "no dump of a shop"),
        (change(version=2), "the dump has version 2; this halfsplit reads up to 1; load it with a newer"),
        (change(shop={}), "shop.file: field required"),
        (change(colour="red"), "colour: extra inputs are not permitted"),
        (in_first_fault(file="../../outside.yml"), '"../../outside.yml" is no place for it'),
        (in_first_fault(file="faults/../../outside.yml", id="outside"), "is no place for it"),
        (in_first_fault(file="/etc/outside.yml", id="outside"), "is no place for it"),
        (in_first_fault(file="faults\\..\\outside.yml", id="outside"), "is no place for it"),
        (in_first_fault(file="parts/x.yml", id="x"), "is no place for it"),
        (in_first_fault(file="faults/_x.yml", id="_x"), "is no place for it"),
        (in_first_fault(text="\ud800"), "half of a character"),
        (with_file(name="photos/../shop.yml"), "is no place for it"),
        (with_file(name=".git/hooks/post-checkout"), "is no place for it"),
        (with_file(name="photos/"), "is no place for it"),
        (with_file(base64="AAAA"), "files[0]: its content has another sum than its sha256"),
        (with_file(base64="A"), "files[0]: its base64 cannot be read"),
    ],
)
def test_what_cannot_be_a_dump_is_told_and_nothing_is_written(
    spoil: Callable[[dict[str, Any]], dict[str, Any]], told: str, demo_dump: dict[str, Any], tmp_path: Path
) -> None:
    (tmp_path / "d.json").write_text(json.dumps(spoil(demo_dump)), encoding="utf-8")
    found = run("load", str(tmp_path / "d.json"), "--to", str(tmp_path / "new"))
    assert found.exit_code == 1
    assert told in found.stderr
    assert [each.name for each in tmp_path.iterdir()] == ["d.json"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("{", "d.json:1:2: this is not JSON"),
        ('{"a": 1,\n "a": 2}', 'the key "a" stands twice'),
        ('{"a": NaN}', "NaN is no JSON"),
        ("[" * 100_000, "nested too deep"),
        ("\udcff", "not UTF-8"),
        ("[]", "no dump of a shop"),
    ],
)
def test_what_is_no_json_is_told_at_its_place(text: str, told: str) -> None:
    with pytest.raises(UnreadableDump, match=told):
        read_dump(text.encode("utf-8", "surrogateescape"), "d.json")


def test_a_problem_in_a_record_is_told_at_its_line_and_nothing_is_written(tmp_path: Path) -> None:
    dump = json.loads(run("dump", str(started(tmp_path / "shop"))).stdout)
    dump["faults"][0]["record"]["block"] = "no-such-block"
    (tmp_path / "d.json").write_text(json.dumps(dump), encoding="utf-8")
    found = run("load", str(tmp_path / "d.json"), "--to", str(tmp_path / "new"), "--files-from",
                str(tmp_path / "shop"))  # fmt: skip
    assert found.exit_code == 1
    assert f"{dump['faults'][0]['file']}:" in found.stderr
    assert 'has no block "no-such-block"' in found.stderr
    assert {each.name for each in tmp_path.iterdir()} == {"shop", "d.json"}


def test_pictures_are_asked_for_and_taken_only_if_they_are_the_same(
    tmp_path: Path, demo_content: Path
) -> None:
    dump = tmp_path / "d.json"
    assert run("dump", str(demo_content), "--without-files", "--to", str(dump)).exit_code == 0
    found = run("load", str(dump), "--to", str(tmp_path / "new"))
    assert found.exit_code == 2
    assert "photos/sx16-0655-c1.jpg" in found.stderr
    assert "--files-from" in found.stderr
    other = written({"photos/sx16-0655-c1.jpg": b"another picture"}, tmp_path / "other")
    assert run("load", str(dump), "--to", str(tmp_path / "new"), "--files-from", str(other)).exit_code == 2
    assert not (tmp_path / "new").exists()
    found = run("load", str(dump), "--to", str(tmp_path / "new"), "--files-from", str(demo_content))
    assert found.exit_code == 0, found.stderr
    assert run("dump", str(tmp_path / "new"), "--without-files").stdout == dump.read_text(encoding="utf-8")


def test_a_dump_alone_is_enough_to_give_the_shop_back(tmp_path: Path, demo_content: Path) -> None:
    assert run("dump", str(demo_content), "--to", str(tmp_path / "d.json")).exit_code == 0
    assert run("load", str(tmp_path / "d.json"), "--to", str(tmp_path / "new")).exit_code == 0
    assert run("dump", str(tmp_path / "new")).stdout == (tmp_path / "d.json").read_text(encoding="utf-8")


def test_what_goes_into_the_site_as_it_is_comes_back_too(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    written({"as-is/old/lamp.svg": b"<svg/>", "as-is/.htaccess": b"Require valid-user\n"}, shop)
    assert run("dump", str(shop), "--to", str(tmp_path / "d.json")).exit_code == 0
    assert run("load", str(tmp_path / "d.json"), "--to", str(tmp_path / "new")).exit_code == 0
    for name in ("as-is/robots.txt", "as-is/old/lamp.svg", "as-is/.htaccess", "mkdocs.yml"):
        assert (tmp_path / "new" / name).read_bytes() == (shop / name).read_bytes()


def test_neither_command_writes_over_what_is_there(tmp_path: Path) -> None:
    shop = started(tmp_path / "shop")
    (tmp_path / "d.json").write_text("{}", encoding="utf-8")
    found = run("dump", str(shop), "--to", str(tmp_path / "d.json"))
    assert found.exit_code == 2
    assert (tmp_path / "d.json").read_text(encoding="utf-8") == "{}"
    (tmp_path / "d.json").unlink()
    for _ in range(2):
        assert run("dump", str(shop), "--to", str(tmp_path / "d.json")).exit_code == 0
    found = run("load", str(tmp_path / "d.json"), "--to", str(shop))
    assert (found.exit_code, "is not empty" in found.stderr) == (2, True)
