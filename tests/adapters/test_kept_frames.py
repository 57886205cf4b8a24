"""A build that does without MkDocs makes the site that MkDocs would have made, or asks MkDocs after all."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from halfsplit_mkdocs import adapter, kept_frames
from halfsplit_mkdocs.adapter import MkDocsAdapter
from kb.adapters import BuildFailed
from kb.store import PLACE
from tests.adapters.making import build_plainly, files_of, with_handbook
from tests.benches import HANDBOOK, copied

SETTINGS = "site_name: One\ntheme:\n  name: material\nplugins:\n  - halfsplit\n"


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The figures of the small shop, drawn once."""
    folder = tmp_path_factory.mktemp("drawn")
    shop = copied(folder / "shop")
    build_plainly(shop, folder / "site")
    return shop / ".halfsplit" / "figures"


class Bench:
    """A small shop that is built again and again, and how often MkDocs was asked."""

    def __init__(self, folder: Path, figures: Path, patch: pytest.MonkeyPatch) -> None:
        self.shop = copied(folder / "shop")
        shutil.copytree(figures, self.shop / ".halfsplit" / "figures")
        self.folder = folder
        self.asked = 0
        self.sites = 0
        built = adapter._built_by_mkdocs

        def counted(*given: object, **named: object) -> object:
            self.asked += 1
            return built(*given, **named)  # type: ignore[arg-type]

        patch.setattr(adapter, "_built_by_mkdocs", counted)

    def build(self, *, strict: bool = False) -> dict[str, str]:
        """The files of a new site that replaces the last one."""
        earlier = self.folder / f"site{self.sites}"
        self.sites += 1
        site = self.folder / f"site{self.sites}"
        site.mkdir()
        with with_handbook(HANDBOOK):
            MkDocsAdapter().build(self.shop, site, strict=strict, earlier=earlier)
        return files_of(site)

    def forget(self) -> None:
        for each in (self.shop / PLACE).iterdir():
            each.unlink()

    def check(self, *, asks: bool) -> dict[str, str]:
        """The next site, which is as one from nothing; and whether MkDocs had to be asked for it."""
        before = self.asked
        found = self.build()
        assert (self.asked > before) == asks
        self.forget()
        assert self.build() == found
        return found


@pytest.fixture
def bench(tmp_path: Path, figures: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    """Built once, without settings of its own."""
    found = Bench(tmp_path, figures, monkeypatch)
    found.build()
    assert found.asked == 1
    return found


@pytest.fixture
def with_settings(tmp_path: Path, figures: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    """Built once, with a file of settings and a folder of static files."""
    found = Bench(tmp_path, figures, monkeypatch)
    (found.shop / "mkdocs.yml").write_text(SETTINGS, encoding="utf-8")
    (found.shop / "docs").mkdir()
    (found.shop / "docs/logo.svg").write_text("<svg/>", encoding="utf-8")
    assert "logo.svg" in found.build()
    return found


def test_after_an_edit_nobody_asks_mkdocs(bench: Bench) -> None:
    changed(bench.shop / "faults/lull-belt-slips.yml", "title: Belt slips", "title: Belt & slips <b>")
    assert bench.check(asks=False)


def test_a_page_of_a_new_form_is_for_mkdocs(bench: Bench) -> None:
    heads = "\n\n".join(f"## Part {number}\n\nText." for number in range(12))
    (bench.shop / "guides/long.md").write_text(
        f"---\ntitle: L\nsummary: S.\n---\n\n{heads}\n", encoding="utf-8"
    )
    assert "guides/long.html" in bench.check(asks=True)


def test_another_name_of_the_shop_is_for_mkdocs(bench: Bench) -> None:
    changed(bench.shop / "shop.yml", "One Bench", "Another Bench")
    bench.check(asks=True)


def test_a_shop_with_a_problem_stops_before_anything_is_written(bench: Bench) -> None:
    changed(bench.shop / "faults/lull-belt-slips.yml", "title:", "titel:")
    with pytest.raises(BuildFailed, match="nothing was written") as raised:
        bench.build()
    assert all(each.startswith("faults/lull-belt-slips.yml:") for each in raised.value.problems)
    assert list((bench.folder / f"site{bench.sites}").iterdir()) == []


@pytest.mark.parametrize(
    "edit",
    [
        pytest.param(lambda shop: changed(shop / "mkdocs.yml", "name: One", "name: Two"), id="a setting"),
        pytest.param(lambda shop: (shop / "docs/more.txt").write_text("more"), id="one more static file"),
        pytest.param(lambda shop: (shop / "docs/logo.svg").write_text("<svg></svg>"), id="another logo"),
        pytest.param(lambda shop: (shop / "docs/logo.svg").unlink(), id="no logo"),
        pytest.param(lambda shop: (shop / "mkdocs.yml").unlink(), id="no settings"),
    ],
)  # fmt: skip
def test_other_settings_and_other_files_are_for_mkdocs(
    with_settings: Bench, edit: Callable[[Path], None]
) -> None:
    edit(with_settings.shop)
    with_settings.check(asks=True)


def test_with_the_same_settings_nobody_asks_mkdocs(with_settings: Bench) -> None:
    assert "logo.svg" in with_settings.check(asks=False)


@pytest.mark.parametrize(
    "more",
    [
        "hooks: [hook.py]\n",
        "extra:\n  answer: !ENV [ANSWER, none]\n",
        "extra_templates: [more.xml]\n",
        "no_such_setting: 1\n",
        "exclude_docs: '*.odd'\nnot_known: true\n",
    ],
)
def test_where_somebody_else_has_a_say_mkdocs_is_asked_each_time(with_settings: Bench, more: str) -> None:
    (with_settings.shop / "hook.py").write_text(
        "def on_post_page(output, page, config):\n    return output + '<i>hook</i>'\n", encoding="utf-8"
    )
    (with_settings.shop / "docs/more.xml").write_text("<x/>", encoding="utf-8")
    changed(with_settings.shop / "mkdocs.yml", "plugins:", f"{more}plugins:")
    first = with_settings.build()
    assert with_settings.check(asks=True) == first


def test_what_is_wrong_with_the_settings_is_told(with_settings: Bench) -> None:
    with_settings.forget()
    for each in (with_settings.shop / "docs").iterdir():
        each.unlink()
    (with_settings.shop / "docs").rmdir()
    with pytest.raises(
        BuildFailed, match=r"mkdocs\.yml: Config value 'docs_dir': .*existing directory"
    ) as raised:
        with_settings.build()
    assert len(raised.value.problems) == 1


def test_strictly_a_disagreement_stops_every_build(bench: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    changed(bench.shop / "faults/pacer-short-pulse.yml", "now: 33k", "now: 10k")
    bench.build()
    said = capsys.readouterr().err
    assert "faults/pacer-short-pulse.yml:" in said
    bench.build()
    assert capsys.readouterr().err == said
    assert bench.asked == 1
    with pytest.raises(BuildFailed):
        bench.build(strict=True)


def test_a_theme_that_was_exchanged_is_noticed(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_frames.Foreign, "is_as_it_was", False)
    bench.check(asks=True)


BUILD = """
import sys
from pathlib import Path
from halfsplit_mkdocs.adapter import MkDocsAdapter
from tests.adapters.making import with_handbook
from tests.benches import HANDBOOK
print("begins", flush=True)
with with_handbook(HANDBOOK):
    MkDocsAdapter().build(Path(sys.argv[1]), Path(sys.argv[2]), strict=True)
"""


@pytest.mark.parametrize("after_s", [0.1, 0.5, 0.9, 1.3])
def test_a_build_that_was_killed_leaves_nothing_wrong(bench: Bench, after_s: float) -> None:
    changed(bench.shop / "shop.yml", "One Bench", "Another Bench")
    repository = Path(__file__).parents[2]
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(repository), str(repository / "plugins")]),
    }
    killed = bench.folder / "killed"
    killed.mkdir()
    command = [sys.executable, "-c", BUILD, str(bench.shop), str(killed)]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as run:
        assert run.stdout is not None
        run.stdout.readline()
        time.sleep(after_s)
        run.send_signal(signal.SIGKILL)
    found = bench.build()
    bench.forget()
    assert bench.build() == found
