"""`halfsplit handover` writes one file whole, or says in a line why not and touches nothing."""

from __future__ import annotations

import datetime
import re
import stat
from pathlib import Path

import pytest

from kb.cli.chromium import NAMES, NoPdf, find_chromium, print_to_pdf
from kb.cli.pdf_marks import is_ours, marked
from kb.pages.handover import MARK
from tests.benches import ONE_BENCH, copied
from tests.cli.shops import run

JOB = "2026-pacer-0007"

PRINTED = rb"""%PDF-1.4
1 0 obj
<</Title (Repair report)
/Creator (Mozilla/5.0 \(X11; Linux x86_64\) AppleWebKit/537.36)
/Producer (Skia/PDF m1)
/CreationDate (D:20990102030405+01'00')
/ModDate (D:20990102030405+01'00')>>
endobj
2 0 obj
<</Type /Catalog>>
endobj
xref
0 3
0000000000 65535 f#
0000000009 00000 n#
0000000214 00000 n#
trailer
<</Size 3
/Root 2 0 R
/Info 1 0 R>>
startxref
248
%%EOF
""".replace(b"#", b" ")


INSTEAD = "write --to FILE.html and print that from a browser"


def hand_over(target: Path, *more: str, shop: Path = ONE_BENCH, job: str = JOB) -> tuple[int, str]:
    """The exit code and all that was said."""
    done = run("handover", job, "--shop", str(shop), "--to", str(target), *more)
    assert "Traceback" not in done.output
    return done.exit_code, done.output


@pytest.fixture
def chromium(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A command in place of Chromium: it prints the same PDF every time, and keeps what it was asked."""
    folder = tmp_path / "bin"
    folder.mkdir()
    (folder / "printed.pdf").write_bytes(PRINTED)
    command = folder / "chromium"
    command.write_text(
        f"""#!/bin/sh
[ "$1" = --version ] && exit 0
printf '%s\\n' "$@" > "{folder}/asked"
for word in "$@"; do
  case "$word" in
    --print-to-pdf=*) cat "{folder}/printed.pdf" > "${{word#--print-to-pdf=}}" ;;
    file://*) cat "${{word#file://}}" > "{folder}/page" ;;
  esac
done
""",
        encoding="utf-8",
    )
    command.chmod(command.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("CHROMIUM", str(command))
    return folder


@pytest.fixture
def no_chromium(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr("kb.cli.chromium.shutil.which", lambda name: None)  # noqa: ARG005


def left_over(folder: Path) -> list[str]:
    return [each.name for each in folder.iterdir() if each.name.startswith(".")]


def test_a_report_is_one_file_and_nothing_stays_beside_it(tmp_path: Path) -> None:
    code, said = hand_over(tmp_path / "deep" / "report.html")
    assert (code, said) == (
        0, f"report on {JOB} in {tmp_path / 'deep' / 'report.html'}; read it before it goes home\n"
    )  # fmt: skip
    assert (tmp_path / "deep" / "report.html").read_text(encoding="utf-8").startswith(MARK)
    assert [each.name for each in (tmp_path / "deep").iterdir()] == ["report.html"]


def test_the_same_job_gives_the_same_bytes_and_replaces_an_older_report(tmp_path: Path) -> None:
    target = tmp_path / "report.html"
    hand_over(target)
    before = target.read_bytes()
    target.write_bytes(before + b"<!-- older -->")
    assert hand_over(target)[0] == 0
    assert target.read_bytes() == before


@pytest.mark.parametrize("name", ["report.html", "report.pdf"])
@pytest.mark.parametrize(
    "content", [b"dear customer", b"", b"%PDF-1.4\n/Creator (Somebody)", b"<!doctype html>\n"]
)
def test_a_file_of_somebody_else_is_left_alone(
    tmp_path: Path, chromium: Path, name: str, content: bytes
) -> None:
    del chromium
    (tmp_path / name).write_bytes(content)
    code, said = hand_over(tmp_path / name)
    assert code == 2
    assert said.startswith(f'"{tmp_path / name}" was not made by halfsplit handover; move it away')
    assert len(said.splitlines()) == 1
    assert (tmp_path / name).read_bytes() == content


def test_a_link_that_leads_nowhere_is_no_report(tmp_path: Path) -> None:
    (tmp_path / "report.html").symlink_to(tmp_path / "gone.html")
    assert hand_over(tmp_path / "report.html")[0] == 2
    assert (tmp_path / "report.html").is_symlink()


@pytest.mark.parametrize(
    ("name", "more", "says"),
    [
        ("report.txt", (), "can be no report; write --to FILE.html or --to FILE.pdf"),
        ("report", (), "can be no report"),
        ("report.html", ("--paper", "A4"), "--paper is for a PDF"),
        ("folder.html", (), "is a folder; name a file with --to"),
        ("file/report.html", (), "nothing can be written beside"),
    ],
)
def test_a_place_that_cannot_be_is_refused(
    tmp_path: Path, name: str, more: tuple[str, ...], says: str
) -> None:
    (tmp_path / "folder.html").mkdir()
    (tmp_path / "file").touch()
    code, said = hand_over(tmp_path / name, *more)
    assert code == 2
    assert says in said


def test_a_job_that_is_not_there_is_answered_with_one_that_is(tmp_path: Path) -> None:
    code, said = hand_over(tmp_path / "report.html", job="2026-pacer-007")
    assert (code, said) == (2, 'there is no job "2026-pacer-007"; did you mean "2026-pacer-0007"?\n')


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("parts/belt.yml", "name:", "nmae:"),  # of the shop
        (f"jobs/{JOB}.yml", "reading: 15 ms", "reading: 25 ms"),  # of the report
        (f"jobs/{JOB}.yml", "Play it *often*.", "See [it](fault:pacer-short-pulse)."),  # of its texts
    ],
)
def test_with_anything_to_tell_nothing_is_written(tmp_path: Path, file: str, old: str, new: str) -> None:
    text = (ONE_BENCH / file).read_text(encoding="utf-8").replace(old, new, 1)
    shop = copied(tmp_path / "shop", {file: text})
    code, said = hand_over(tmp_path / "report.html", shop=shop)
    assert code == 1
    assert f"{file}:" in said
    assert said.endswith("nothing was written\n")
    assert not (tmp_path / "report.html").exists()


# On paper


@pytest.mark.parametrize(("more", "paper"), [((), "A4"), (("--paper", "letter"), "Letter")])
def test_a_pdf_is_printed_on_the_paper_that_was_asked_for(
    tmp_path: Path, chromium: Path, more: tuple[str, ...], paper: str
) -> None:
    target = tmp_path / "report.pdf"
    code, said = hand_over(target, *more)
    assert code == 0, said
    assert f"@page {{ size: {paper}; }}" in (chromium / "page").read_text(encoding="utf-8")
    assert is_ours(target.read_bytes())
    assert not left_over(tmp_path)
    assert hand_over(target, *more)[0] == 0, "one of ours may be replaced"


def test_chromium_is_kept_from_every_network_and_its_sandbox_is_left_to_it(
    tmp_path: Path, chromium: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for user in (0, 1000):
        monkeypatch.setattr("kb.cli.chromium.os.geteuid", lambda user=user: user)
        hand_over(tmp_path / "report.pdf")
        asked = (chromium / "asked").read_text(encoding="utf-8").splitlines()
        assert "--host-resolver-rules=MAP * ~NOTFOUND" in asked
        assert {"--headless", "--no-pdf-header-footer"} <= set(asked)
        assert ("--no-sandbox" in asked) == (user == 0)


@pytest.mark.usefixtures("no_chromium")
def test_without_a_chromium_it_says_what_to_do_instead(tmp_path: Path) -> None:
    assert hand_over(tmp_path / "report.pdf") == (
        2,
        f"no PDF could be made: no Chromium is installed here; {INSTEAD}\n",
    )
    assert hand_over(tmp_path / "report.html")[0] == 0


@pytest.mark.parametrize("printed", [b"", b"no PDF at all", b"%PDF-1.4 without a creator"])
def test_a_chromium_that_prints_nothing_useful_leaves_the_old_report(
    tmp_path: Path, chromium: Path, printed: bytes
) -> None:
    target = tmp_path / "report.pdf"
    hand_over(target)
    before = target.read_bytes()
    (chromium / "printed.pdf").write_bytes(printed)
    code, said = hand_over(target)
    assert code == 2
    assert said.startswith("no PDF could be made: ")
    assert len(said.splitlines()) == 1
    assert target.read_bytes() == before
    assert not left_over(tmp_path)


def test_a_chromium_that_never_ends_is_ended(chromium: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (chromium / "chromium").write_text("#!/bin/sh\nexec sleep 60\n", encoding="utf-8")
    monkeypatch.setattr("kb.cli.chromium.LONGEST_PRINTING_S", 0.1)
    with pytest.raises(NoPdf, match="took longer than"):
        print_to_pdf(
            str(chromium / "chromium"), chromium / "page", chromium / "out.pdf", chromium / "profile"
        )


def test_a_command_that_only_advertises_a_package_is_no_chromium(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    for name, code in (("chromium", 10), ("google-chrome", 0)):
        (tmp_path / name).write_text(f"#!/bin/sh\nexit {code}\n", encoding="utf-8")
        (tmp_path / name).chmod(0o755)
    assert find_chromium() == str(tmp_path / "google-chrome")


def test_the_same_commands_are_looked_for_as_for_the_tests(repository: Path) -> None:
    script = (repository / ".ci" / "find_chromium.sh").read_text(encoding="utf-8")
    assert all(name in script for name in NAMES)


def test_a_pdf_says_what_it_is_and_nothing_of_the_machine() -> None:
    whole = marked(PRINTED, datetime.date(2026, 2, 9))
    assert whole is not None
    assert is_ours(whole)
    assert not is_ours(PRINTED)
    assert b"Linux" not in whole
    assert b"2099" not in whole
    assert whole.count(b"D:20260209000000+01'00'") == 4


def test_a_marked_pdf_still_finds_all_of_its_objects() -> None:
    """By the rules of ISO 32000-1, 7.5.5 and 7.5.6: the last table first, then the one before it."""
    whole = marked(PRINTED, datetime.date(2026, 2, 9))
    assert whole is not None
    tables = [int(each) for each in re.findall(rb"startxref\n([0-9]+)\n%%EOF", whole)]
    assert [whole[at : at + 5] for at in tables] == [b"xref\n", b"xref\n"]
    assert f"/Prev {tables[0]}>>".encode() in whole[tables[1] :]
    (added,) = re.findall(rb"1 1\n([0-9]{10}) 00000 n ", whole[tables[1] :])
    assert whole[int(added) :].startswith(b"1 0 obj\n<</Title (Repair report)\n/Creator (halfsplit handover)")
    assert whole[214:].startswith(b"2 0 obj"), "every other byte stays at its place"


def test_a_pdf_that_is_built_otherwise_is_not_touched() -> None:
    assert marked(b"%PDF-1.4 nothing", datetime.date(2026, 2, 9)) is None
