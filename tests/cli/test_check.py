"""`halfsplit check`: all that is wrong, at once, one line for each; nothing is written."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from kb.cli import main
from tests.benches import ONE_BENCH, copied, edited

CHANGED = ("    now: 33k", "    now: 47k")
"""One value that its calculation does not give."""


def check(folder: Path | str) -> Result:
    return CliRunner().invoke(main, ["check", str(folder)])


def test_a_shop_without_a_problem_is_counted() -> None:
    found = check(ONE_BENCH)
    assert (found.exit_code, found.stderr) == (0, "")
    assert found.stdout == "14 records, no problem\n"


@pytest.mark.slow
def test_the_demo_shop_has_no_problem(demo_content: Path) -> None:
    found = check(demo_content)
    assert (found.exit_code, found.stderr) == (0, "")


FAULT = "title: A\nmodels: pacer\nblock: clock\nsymptoms: b\ncause: c\nfix: d\n"

BROKEN = {
    "faults/unknown-key.yml": f"{FAULT}colour: red\n",
    "faults/dangling.yml": FAULT.replace("pacer", "pacr"),
    "parts/no-kind.yml": "name: A\n",
    "guides/open-head.md": "---\ntitle: A\n",
    "models/not-yaml.yml": "name: [A\n",
}


def test_all_problems_of_all_files_come_in_one_run_sorted_by_place(tmp_path: Path) -> None:
    found = check(copied(tmp_path / "shop", BROKEN))
    *lines, last = found.stderr.splitlines()
    assert found.exit_code == 1
    assert found.stdout == ""
    assert lines == sorted(lines)
    assert [line.split(":")[0] for line in lines] == sorted(BROKEN)
    assert last == "5 problems; nothing was written"


def test_problems_in_prose_and_calculations_come_with_the_disagreements(tmp_path: Path) -> None:
    guide = "---\ntitle: A\nsummary: B.\n---\n\n[a](fault:none)\n\n```calc\ntempo: {bpm: 1 xx}\n```\n"
    folder = edited(tmp_path / "shop", "faults/pacer-short-pulse.yml", CHANGED)
    (folder / "guides" / "a.md").write_text(guide, encoding="utf-8")
    found = check(folder)
    assert found.exit_code == 1
    assert [line.split(": ")[0] for line in found.stderr.splitlines()] == [
        "guides/a.md:6:5", "guides/a.md:9:14", "faults/pacer-short-pulse.yml:24:10",
        "2 problems, 1 disagreement",
    ]  # fmt: skip


def test_nothing_is_written(tmp_path: Path) -> None:
    folder = copied(tmp_path / "shop", BROKEN)
    before = sorted(tmp_path.rglob("*"))
    check(folder)
    check(copied(tmp_path / "good"))
    assert [path for path in sorted(tmp_path.rglob("*")) if "good" not in path.parts] == before
    assert not (tmp_path / "good" / ".halfsplit").exists()


def test_without_a_folder_it_is_the_one_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ONE_BENCH)
    assert CliRunner().invoke(main, ["check"]).stdout == "14 records, no problem\n"


def test_a_folder_that_is_not_there_is_a_mistake_of_the_command(tmp_path: Path) -> None:
    found = check(tmp_path / "none")
    assert found.exit_code == 2
    assert "there is no folder" in found.stderr
    assert "halfsplit start makes one" in found.stderr


def test_a_folder_without_a_shop_says_how_to_begin(tmp_path: Path) -> None:
    found = check(tmp_path)
    assert found.exit_code == 1
    assert found.stderr.startswith("shop.yml:1:1: shop.yml is missing")


def test_lines_show_units_as_people_write_them(tmp_path: Path) -> None:
    found = check(edited(tmp_path / "shop", "faults/pacer-short-pulse.yml", CHANGED))
    assert '"47k" is 41% above the computed 33.3 kΩ' in found.stderr


# A job that went home has to be fit for the report that goes with it.

JOB = "jobs/2026-pacer-0007.yml"
STILL_HERE = ("returned: 2026-02-09\n", "")
UNFIT = [
    (
        "    reading: 15 ms",
        "    reading: 21 ms",
        '"good" is said of 21 ms, which lies outside 10 ms to 20 ms',
    ),
    ("Play it *often*.", "Play it, see [](fault:pacer-short-pulse).", "links to nothing in the shop"),
    ("too short for other machines", "as in 2026-lull-0950", '"2026-lull-0950" is the id of a job'),
]


@pytest.mark.parametrize(("old", "new", "says"), UNFIT)
def test_what_handover_refuses_of_a_job_that_went_home_is_told_in_the_same_words(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    folder = edited(tmp_path / "shop", JOB, (old, new))
    found = check(folder)
    assert (found.exit_code, found.stdout) == (1, "")
    words = ["handover", "2026-pacer-0007", "--shop", str(folder), "--to", str(tmp_path / "r.html")]
    refusal = CliRunner().invoke(main, words)
    assert found.stderr.splitlines()[:-1] == refusal.stderr.splitlines()[:-1]
    assert says in found.stderr
    assert found.stderr.startswith(JOB + ":")


@pytest.mark.parametrize(("content", "fit"), [(b"no picture", False), (b"", False), (None, True)])
def test_a_picture_that_is_none_is_told_at_its_line(
    tmp_path: Path, content: bytes | None, *, fit: bool
) -> None:
    folder = copied(tmp_path / "shop")
    if content is not None:
        (folder / "photos" / "pacer.png").write_bytes(content)
    found = check(folder)
    assert (found.exit_code == 0) == fit
    assert (f'{JOB}:36:11: "photos/pacer.png" cannot be read as a picture' in found.stderr) != fit


@pytest.mark.parametrize(("old", "new", "says"), UNFIT)
def test_a_unit_on_the_bench_may_be_unfit_and_is_listed_where_that_is_asked_for(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    folder = edited(tmp_path / "shop", JOB, (old, new), STILL_HERE)
    assert check(folder).stdout == "14 records, no problem\n"
    found = CliRunner().invoke(main, ["check", "--jobs", str(folder)])
    assert (found.exit_code, found.stderr) == (0, "")
    _, heading, line, last = found.stdout.splitlines()
    assert heading == "2026-pacer-0007: 1 to mend"
    assert line.startswith(f"  {JOB}:")
    assert says in line
    assert last == "14 records, no problem"


def test_a_unit_that_could_go_home_today_is_listed_as_fit(tmp_path: Path) -> None:
    folder = edited(tmp_path / "shop", JOB, STILL_HERE)
    found = CliRunner().invoke(main, ["check", "--jobs", str(folder)])
    *listed, _ = found.stdout.splitlines()
    assert listed == [f"{job}: fit for its report" for job in ("2026-lull-0950", "2026-pacer-0007")]


def test_a_link_to_nothing_is_told_once(tmp_path: Path) -> None:
    found = check(edited(tmp_path / "shop", JOB, ("Play it *often*.", "See [it](fault:gone).")))
    assert len([line for line in found.stderr.splitlines() if line.startswith(JOB)]) == 1
