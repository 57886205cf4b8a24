"""The loop of `halfsplit serve`: build, wait for an edit, build again; a failed build changes nothing.

A site is made in a folder of its own and shown only when it is whole.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import click

from kb.adapters import Adapter, BuildFailed
from kb.cli.loading import count
from kb.handbook import handbook_folder
from kb.serving.showing import Showing
from kb.serving.watching import Stamp, state_of

LOOKS_EACH_S = 0.3
SETTLES_IN_S = 0.1


@dataclass
class Rebuilding:
    """Keeps what `showing` shows in step with the shop in `shop`; `work` is a folder for its sites."""

    shop: Path
    adapter: Adapter
    showing: Showing
    work: Path
    tell: Callable[[str], None] = field(default=click.echo)
    _number: int = 0
    _left: Path | None = None

    def run(self) -> None:
        """Build and follow edits until interrupted."""
        while True:
            seen = self._settled()
            self.build()
            while state_of(self._watched) == seen:
                time.sleep(LOOKS_EACH_S)

    def build(self) -> bool:
        """One build; whether it came out."""
        self._number += 1
        fresh = self.work / str(self._number)
        fresh.mkdir()
        self.showing.begin()
        began = time.monotonic()
        try:
            self.adapter.build(self.shop, fresh, strict=False, earlier=self.showing.view.folder)
        except BuildFailed as error:
            return self._failed(fresh, error.problems)
        except OSError as error:
            return self._failed(fresh, (f"{error.filename or self.shop}: {error.strerror or error}",))
        self._show(fresh)
        self.tell(f"{_clock()} built in {time.monotonic() - began:.1f} s")
        return True

    @property
    def _watched(self) -> tuple[Path, ...]:
        return (self.shop, handbook_folder())

    def _settled(self) -> Mapping[str, Stamp]:
        """The state of the files once nobody is in the middle of saving several."""
        seen = state_of(self._watched)
        while True:
            time.sleep(SETTLES_IN_S)
            now = state_of(self._watched)
            if now == seen:
                return seen
            seen = now

    def _failed(self, fresh: Path, problems: tuple[str, ...]) -> bool:
        shutil.rmtree(fresh, ignore_errors=True)
        self.showing.fail(problems)
        for each in problems:
            self.tell(each)
        stays = "the last good site stays" if self.showing.view.folder else "there is no site yet"
        self.tell(f"{_clock()} {count(len(problems), 'problem')}; {stays}")
        return False

    def _show(self, fresh: Path) -> None:
        """The site before stays one build longer: somebody may just be reading a file of it."""
        left = self.showing.succeed(fresh)
        if self._left is not None:
            shutil.rmtree(self._left, ignore_errors=True)
        self._left = left


def _clock() -> str:
    return time.strftime("%H:%M:%S")
