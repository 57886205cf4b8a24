"""How fast a site is built, beside plain MkDocs with Material on the same pages: printed, never failed.

`make bench` runs it. Both are measured in the same run, each command as a process of its own; the time at
work counts all its processes, and memory is the peak of the largest. DEVELOPERS.md has the figures.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from kb.handbook import handbook_folder
from kb.pages import build_site
from kb.shop import load_shop
from tests.benchmarks.generated_shop import make_shop
from tests.benchmarks.plain_site import edit_plain_site, plain_command, quiet_environment, write_plain_site

pytestmark = pytest.mark.benchmark

SIZES = (1000, 5000)
EDITED = "generated-00500"
PROGRAM = "from kb.cli import main; main()"
MEASURED = """
import json, os, resource, subprocess, sys, time
began = time.perf_counter()
ended = subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
spent = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps([ended.returncode, time.perf_counter() - began, spent.ru_utime + spent.ru_stime,
                  spent.ru_maxrss / 1024, ended.stderr.decode()[-2000:]]))
"""


SERVED = """
import json, sys, time
from pathlib import Path
from tempfile import TemporaryDirectory
{imports}
def build(number):
    folder, earlier = sites / str(number), sites / str(number - 1)
    folder.mkdir()
    wall, cpu = time.perf_counter(), time.process_time()
    {build}
    return [time.perf_counter() - wall, time.process_time() - cpu]
with TemporaryDirectory() as work:
    sites = Path(work)
    build(1)
    build(2)
    file, old, new = Path(sys.argv[2]), sys.argv[3], sys.argv[4]
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    print(json.dumps(build(3)))
"""
"""What a server does that builds again after an edit: the third build in one process, whose edit is new.

The site before is still there, as it is in a server.
"""

OURS = SERVED.format(
    imports="""from kb.adapters import find_adapter
from kb.cli.memory import look_seldom
look_seldom()""",
    build="find_adapter('mkdocs').build(Path(sys.argv[1]), folder, strict=False, earlier=earlier)",
)
PLAIN = SERVED.format(
    imports="""from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config""",
    build="mkdocs_build(load_config(sys.argv[1], site_dir=str(folder)))",
)


@dataclass(frozen=True)
class Spent:
    """What one command took: by the clock, at work in all its processes, and the most memory of one."""

    wall_s: float
    cpu_s: float
    peak_mib: float

    def __str__(self) -> str:
        return f"{self.wall_s:7.2f} s, at work {self.cpu_s:7.2f} s, {self.peak_mib:5.0f} MiB"

    def beside(self, other: Spent) -> str:
        """This one in shares of the other."""
        return f"{self.wall_s / other.wall_s:.3f} by the clock, {self.cpu_s / other.cpu_s:.3f} at work"


@dataclass(frozen=True)
class Shown:
    """The measurements of one size."""

    plain: Spent
    plain_again: Spent
    cold: Spent
    unchanged: Spent
    edited: Spent
    retitled: Spent
    plain_served: Spent
    served: Spent
    check: Spent
    found: Spent


def measured(command: Sequence[str]) -> Spent:
    """Run a command in a process of its own, under one that sees no other child."""
    shown = subprocess.run(
        [sys.executable, "-c", MEASURED, *command], check=True, capture_output=True, env=quiet_environment()
    )
    code, wall, cpu, peak, said = json.loads(shown.stdout)
    assert code == 0, said
    return Spent(wall, cpu, peak)


def served(program: str, what: Path, file: Path, old: str, new: str) -> Spent:
    """The build after an edit in a process that has built before, as a server's is."""
    words = [sys.executable, "-c", program, str(what), str(file), old, new]
    shown = subprocess.run(words, check=True, capture_output=True, env=quiet_environment())
    return Spent(*json.loads(shown.stdout.splitlines()[-1]), 0)


def halfsplit(*words: str) -> list[str]:
    return [sys.executable, "-c", PROGRAM, *words]


def once_edited(shop: Path, old: str, new: str) -> None:
    file = shop / "faults" / f"{EDITED}.yml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def measured_at(size: int, folder: Path, demo: Path) -> Shown:
    """A shop of `size` faults: built plainly and with halfsplit, edited, built again, checked, searched."""
    shop = make_shop(folder / "shop", demo, size, jobs=size // 10)
    plain = _plain(shop, folder / "plain")
    again = _after(lambda: edit_plain_site(folder / "plain", f"faults/{EDITED}.html"), plain)
    build = halfsplit("build", str(shop))
    cold = measured(build)
    unchanged = measured(build)
    more = "cause: |\n  It was found by listening.\n"
    edited = _after(lambda: once_edited(shop, "cause: |\n", more), build)
    retitled = _after(lambda: once_edited(shop, "title: ", "title: other "), build)
    fault = shop / "faults" / f"{EDITED}.yml"
    page = folder / "plain" / "docs" / "faults" / f"{EDITED}.md"
    plain_served = served(PLAIN, folder / "plain" / "mkdocs.yml", page, "Look", "See")
    warm = served(OURS, shop, fault, "by listening", "by touch")
    check = measured(halfsplit("check", str(shop)))
    ask = halfsplit("find", "clock stops when warm", "--shop", str(shop))
    time.sleep(2.1)
    measured(ask)
    return Shown(
        measured(plain), again, cold, unchanged, edited, retitled, plain_served, warm, check, measured(ask)
    )


def _plain(shop: Path, folder: Path) -> list[str]:
    """The same pages as Markdown, made without leaving anything in the shop; the command that builds them."""
    found, problems = load_shop(shop, handbook_folder())
    assert found is not None, problems[:3]
    pages, problems = build_site(found)
    assert pages is not None, problems[:3]
    command = plain_command(write_plain_site(pages, folder))
    measured(command)
    return command


def _after(edit: Callable[[], None], command: Sequence[str]) -> Spent:
    edit()
    return measured(command)


def test_a_build_beside_a_plain_one(tmp_path: Path, demo_content: Path) -> None:
    found = {}
    for size in SIZES:
        found[size] = each = measured_at(size, tmp_path / str(size), demo_content)
        print(f"\n{size} faults, {size // 10} jobs, {os.cpu_count()} processors")
        for name, spent in vars(each).items():
            print(f"  {name:12} {spent}")
        print(f"  cold / plain: {each.cold.beside(each.plain)}")
        print(f"  after an edit / plain: {each.edited.beside(each.plain_again)}")
        print(f"  after another title / plain: {each.retitled.beside(each.plain_again)}")
        print(f"  after an edit / plain, in a server: {each.served.beside(each.plain_served)}")
        print(f"  check / cold: {each.check.beside(each.cold)}")
        shutil.rmtree(tmp_path / str(size))
    small, large = (found[size].cold for size in SIZES)
    print(f"\ncold at {SIZES[1]} / cold at {SIZES[0]}: {large.beside(small)}")
