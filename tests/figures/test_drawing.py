"""A figure is the same bytes every time, stands inside any page, and reads without colour."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kb.figures import Axis, FigureSpec, Mark, Series, cache, figure_svg
from kb.figures import draw as drawing

SVG = "{http://www.w3.org/2000/svg}"
CURVE = FigureSpec(
    title="Charge of the capacitor",
    description="The voltage rises and crosses <2.5 V> & stays.",
    x=Axis("Time", "time"),
    y=Axis("Voltage", "voltage"),
    series=(
        Series("nominal parts", (0.0, 0.5, 1.0), (0.0, 2.5, 4.0)),
        Series("slowest $parts$", (0.0, 0.5, 1.0), (0.0, 2.0, 3.5)),
        Series("working point", (0.5,), (2.5,), "points"),
    ),
    marks=(Mark("horizontal", 2.5, "threshold"), Mark("vertical", 0.5, "500 ms")),
)
BARS = FigureSpec(
    "Error by note", "Bars.", Axis("Note"), Axis("Error", "interval"),
    (Series("error", (0.0, 1.0), (3.0, -3.0), "bars"),),
)  # fmt: skip
LOGS = FigureSpec(
    "Pulse", "A line.", Axis("Resistor", "resistance", is_log=True), Axis("Pulse", "time", is_log=True),
    (Series("with 1 µF", (5e3, 2e5), (1e-3, 4e-2)),),
)  # fmt: skip


def _parsed(drawn: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawn)  # noqa: S314 - our own drawing


ALL = pytest.mark.parametrize("spec", [CURVE, BARS, LOGS], ids=["curve", "bars", "logs"])


@ALL
def test_two_drawings_are_the_same_bytes(spec: FigureSpec) -> None:
    assert drawing.draw(spec) == drawing.draw(spec)


@ALL
def test_drawing_is_an_element_that_says_what_it_shows(spec: FigureSpec) -> None:
    drawn = drawing.draw(spec)
    root = _parsed(drawn)
    assert drawn.startswith("<svg ")
    assert root.get("role") == "img"
    named = [element.text for element in root if element.tag in (f"{SVG}title", f"{SVG}desc")]
    assert named == [spec.title, spec.description]
    ids = {element.get("id") for element in root.iter()}
    assert set((root.get("aria-labelledby") or "").split()) <= ids


@ALL
def test_drawing_has_no_size_date_style_sheet_or_colour_of_its_own(spec: FigureSpec) -> None:
    drawn = drawing.draw(spec)
    root = _parsed(drawn)
    assert root.get("viewBox")
    assert root.get("width") is None
    assert root.get("height") is None
    assert not [element.tag for element in root.iter() if element.tag in (f"{SVG}style", f"{SVG}metadata")]
    outside_fallbacks = re.sub(r"var\(--hs-figure-[a-z0-9-]+, #[0-9a-f]+\)", "", drawn)
    assert not re.findall(r"(?:fill|stroke): *#[0-9a-f]{3,6}", outside_fallbacks)
    assert "DejaVu" not in drawn


def test_ids_of_two_figures_on_one_page_differ() -> None:
    ids = [set(re.findall(r'\bid="([^"]+)"', drawing.draw(spec))) for spec in (CURVE, BARS, LOGS)]
    assert all(ids)
    assert sum(map(len, ids)) == len(set.union(*ids))


@ALL
def test_every_reference_inside_a_figure_is_met(spec: FigureSpec) -> None:
    drawn = drawing.draw(spec)
    wanted = set(re.findall(r'(?:href="#|url\(#)([^")]+)', drawn))
    assert wanted <= set(re.findall(r'\bid="([^"]+)"', drawn))


def test_lines_differ_by_more_than_colour() -> None:
    root = _parsed(drawing.draw(CURVE))
    dashes = {
        tuple(re.findall(r"stroke-dasharray: [^;]+", style))
        for element in root.iter(f"{SVG}path")
        if "--hs-figure-line-" in (style := element.get("style", ""))
    }
    assert len(dashes) >= 2


def test_words_stay_words() -> None:
    texts = ["".join(element.itertext()) for element in _parsed(drawing.draw(CURVE)).iter(f"{SVG}text")]
    assert {"nominal parts", "slowest $parts$", "threshold", "Time", "Voltage"} <= set(texts)


@pytest.mark.parametrize(
    ("x", "y", "is_log"),
    [((1.0,), (1.0, 2.0), False), ((1.0,), (float("nan"),), False), ((0.0,), (1.0,), True)],
)
def test_what_can_not_be_drawn_is_refused(x: tuple[float, ...], y: tuple[float, ...], is_log: bool) -> None:
    with pytest.raises(ValueError, match=r"values|drawn|zero"):
        FigureSpec("t", "d", Axis("x", is_log=is_log), Axis("y"), (Series("s", x, y),))


def test_second_time_it_is_not_drawn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = figure_svg(CURVE, tmp_path)

    def fail(_spec: FigureSpec) -> str:
        raise AssertionError("it was drawn again")

    monkeypatch.setattr(drawing, "draw", fail)
    assert figure_svg(CURVE, tmp_path) == first
    with pytest.raises(AssertionError):
        figure_svg(BARS, tmp_path)


@pytest.mark.parametrize("damage", [b"", b"\xff\xfe", b"<svg></svg>", b"0" * 64 + b"\n<svg onload='x'/>"])
def test_damaged_drawing_is_drawn_again(tmp_path: Path, damage: bytes) -> None:
    first = figure_svg(BARS, tmp_path)
    (kept,) = tmp_path.iterdir()
    kept.write_bytes(damage)
    assert figure_svg(BARS, tmp_path) == first
    assert kept.read_text(encoding="utf-8").endswith(first)


def test_cache_that_can_not_be_written_is_no_matter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder", encoding="utf-8")
    expected = drawing.draw(BARS)
    assert figure_svg(BARS, in_the_way / "cache") == expected

    def refuse(_self: Path, _target: Path) -> Path:
        raise PermissionError("read only")

    monkeypatch.setattr(Path, "replace", refuse)
    assert figure_svg(BARS, tmp_path / "cache") == expected
    assert not list((tmp_path / "cache").iterdir())


def test_the_cache_does_not_grow_for_ever(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MOST_KEPT", 4)
    for number in range(6):
        figure_svg(replace(CURVE, title=f"Charge {number}"), tmp_path)
    assert len(list(tmp_path.iterdir())) <= 4
    newest = replace(CURVE, title="Charge 5")
    monkeypatch.setattr(drawing, "draw", None)
    assert "<svg" in figure_svg(newest, tmp_path)
