"""A site works on any path of any host, and from the disk: no address in it begins at a root."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path
from subprocess import PIPE

import pytest

from tests.benches import copied
from tests.cli.shops import run
from tests.markup import Markup, from_the_root


@pytest.mark.parametrize("words", [["build", "--with", "plain"], ["publish"]], ids=["build", "publish"])
def test_no_address_begins_at_the_root_of_a_host(tmp_path: Path, words: list[str]) -> None:
    name, *options = words
    site = tmp_path / "site"
    found = run(name, str(copied(tmp_path / "shop")), "--to", str(site), *options)
    assert found.exit_code == 0, found.output
    pages = list(site.rglob("*.html"))
    assert pages
    assert {path.name: bad for path in pages if (bad := from_the_root(Markup(path.read_text("utf-8"))))} == {}
    for path in site.rglob("*.css"):
        assert not re.search(r"""url\(["']?/""", path.read_text("utf-8")), path.name


@pytest.mark.parametrize("html", ['<a href="/x">', '<img src="//h/x">', '<p style="background:url(/x)">'])
def test_the_check_finds_such_an_address(html: str) -> None:
    assert from_the_root(Markup(html))
    assert not from_the_root(Markup(html.replace("//h/", "").replace("/x", "x")))


@pytest.mark.slow
def test_two_builds_at_once_of_a_shop_that_takes_no_file_leave_one_whole_site(tmp_path: Path) -> None:
    shop = copied(tmp_path / "Wérk №1 of mine")
    shutil.rmtree(shop / ".halfsplit", ignore_errors=True)
    # A file where the folder for kept pages would be: nobody may write there, not even root.
    (shop / ".halfsplit").touch()
    program = "from kb.cli.main import main; main()"
    words = [sys.executable, "-c", program, "build", shop.name, "--to", "the site", "--with", "plain"]
    builds = [subprocess.Popen(words, cwd=tmp_path, stdout=PIPE, stderr=PIPE, text=True) for _ in range(2)]
    told = [build.communicate() for build in builds]
    assert [build.returncode for build in builds] == [0, 0], told
    assert sorted(path.name for path in tmp_path.iterdir()) == ["Wérk №1 of mine", "the site"]
    assert (tmp_path / "the site" / "models" / "pacer.html").is_file()
