"""A small shop with something of every kind for customers, and something private beside each of it."""

from __future__ import annotations

import io
import shutil
from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw
from PIL.PngImagePlugin import PngInfo

from kb.audience import project
from kb.audience.attaching import Attachments
from kb.pages import Asset
from kb.pages.public import public_site
from kb.problems import Problem
from kb.shop import Shop
from tests.benches import ONE_BENCH, loaded

OWNERS = """---
title: Looking after it
summary: What owners can do themselves.
models: lull
faults: lull-belt-slips
parts: belt
hazards: [sharp-or-heavy]
order: 4
sources: [our own practice]
audience: customer
recorded: 2026-03-03
---

Wipe it with a dry cloth. Its [belt](fault:lull-belt-slips) ages, see [the part](part:belt) and
[the machine itself](model:lull), or [further down](#how-fast).

![A belt beside a ruler](photos/new-belt.png)

## How fast

The [figures](captures/speed.csv) of one turn.

```calc
tempo:
  bpm: 120 BPM
  pulses_per_quarter: 24
```

```calc
rc:
  resistor: 10k
  capacitor: 100 nF
```
"""

BELT = """name: Flat belt
kind: belt
summary: |
  A ring of rubber, as long as the maker says.
photos: [belt.png]
kept_in: drawer seventeen
price: 7.35 EUR
markings: [FB-208]
private_note: |
  The cheaper ones from the market last half as long.
audience: customer
"""

SOCKET = """title: Socket is loose
models: lull
block: motor
symptoms:
  - it stops when the lead is moved
cause: The lead is worn, not the machine.
fix: Try another [lead](guide:for-owners#how-fast).
related: lull-belt-slips
minutes: 5
audience: customer
private_note: Mostly it is the cheap leads.
"""

CAPTURE = "time,level\n0,0.5\n0.001,4.75\n"


def picture(colour: str = "#804020") -> bytes:
    """A PNG that says in a comment who took it."""
    made = Image.new("RGB", (60, 30), colour)
    ImageDraw.Draw(made).rectangle((10, 5, 40, 20), fill="#ffffff")
    said = PngInfo()
    said.add_text("Author", "taken by the owner of the unit")
    file = io.BytesIO()
    made.save(file, "PNG", pnginfo=said)
    return file.getvalue()


def write_public_bench(folder: Path) -> Path:
    """The shop as a folder of its own."""
    shutil.copytree(ONE_BENCH, folder, ignore=shutil.ignore_patterns(".halfsplit"))
    for name, text in (
        ("guides/for-owners.md", OWNERS), ("parts/belt.yml", BELT), ("faults/lull/lull-socket.yml", SOCKET),
        ("captures/speed.csv", CAPTURE),
    ):  # fmt: skip
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (folder / "photos" / "new-belt.png").write_bytes(picture())
    (folder / "photos" / "nobody-names-this.png").write_bytes(picture("#204080"))
    return folder


def read_public_bench(folder: Path) -> Shop:
    """The shop of such a folder."""
    return loaded(folder)


def published(shop: Shop) -> tuple[tuple[Asset, ...] | None, tuple[Problem, ...]]:
    """Every file that would be published, or the problems that keep it from being."""
    site, problems = project(shop)
    if site is None:
        return None, problems
    made, problems = public_site(site, _attachments(shop.root, shop.data_files))
    return (made.files if made else None), problems


@cache
def _attachments(root: Path, names: frozenset[str]) -> Attachments:
    return Attachments(root, names)


def files(shop: Shop) -> dict[str, bytes]:
    """What would be published, by address; there must be no problem."""
    made, problems = published(shop)
    assert made is not None, "\n".join(map(str, problems))
    return {each.path: each.content for each in made}


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its name."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
