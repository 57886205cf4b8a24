"""Drawings and tables are written again from what they show; what could run, load or hide is refused."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from kb.audience.attaching import Attached, Attachments
from kb.audience.refusals import NotPublishable
from kb.audience.svg_files import remade_svg
from kb.audience.tables import remade_csv

DRAWING = """<?xml version="1.0" encoding="UTF-8"?>
<!-- drawn by Pennick -->
<svg xmlns="http://www.w3.org/2000/svg" xmlns:p="http://example.org/program" viewBox="0 0 40 20"
     p:author="Pennick" id="pennick-layer" onload="alert(1)" class="pennick">
  <metadata>Pennick</metadata>
  <p:view p:folder="/home/pennick"/>
  <title>A belt</title>
  <defs><linearGradient id="pennick-fade"><stop offset="0" stop-color="#fff"/></linearGradient></defs>
  <g style="fill: url(#pennick-fade); -p-hidden: Pennick" data-owner="Pennick">
    <rect x="1" y="1" width="30" height="10" onclick="alert(1)"/>
    <text x="2" y="9" style="font-size:8px">208 <tspan>mm</tspan></text>
  </g>
  <text style="display:none">Pennick</text><text visibility="hidden">Pennick</text>
  <?pennick processing?>
</svg>
"""


def test_a_drawing_keeps_its_shapes_and_words_and_nothing_else() -> None:
    ending, after = remade_svg(DRAWING.encode())
    assert ending == ".svg"
    assert b"ennick" not in after.lower()
    assert b"alert" not in after
    root = ElementTree.fromstring(after)  # noqa: S314 - our own
    assert [each.tag.rpartition("}")[2] for each in root.iter()] == [
        "svg", "title", "defs", "linearGradient", "stop", "g", "rect", "text", "tspan"
    ]  # fmt: skip
    assert "".join(root.itertext()).split() == ["A", "belt208", "mm"]
    group = root.find("{*}g")
    gradient = root.find("{*}defs/{*}linearGradient")
    assert group is not None
    assert gradient is not None
    assert group.attrib == {"fill": f"url(#{gradient.get('id')})"}


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert remade_svg(DRAWING.encode()) == remade_svg(DRAWING.replace("pennick", "somebody").encode())


OPEN = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">'


@pytest.mark.parametrize(
    "inside",
    [
        "<script>alert(1)</script>",
        "<foreignObject><p>x</p></foreignObject>",
        '<image href="https://example.org/x.png"/>',
        "<style>* { fill: url(https://example.org) }</style>",
        '<a href="javascript:alert(1)"><text>x</text></a>',
        '<animate attributeName="x"/>',
        '<use href="https://example.org/x.svg#a"/>',
        '<use xlink:href="data:image/svg+xml,x"/>',
        '<use href="#nowhere"/>',
        '<rect fill="url(https://example.org/#a)"/>',
        '<rect style="fill: url(//example.org/#a)"/>',
        '<rect fill="url(#nowhere)"/>',
        '<rect fill="\\75rl(x)"/>',
        '<rect fill="red; background: image(x)"/>',
        "<g>" * 80 + "</g>" * 80,
    ],
)
def test_what_runs_or_points_outside_is_refused(inside: str) -> None:
    with pytest.raises(NotPublishable):
        remade_svg(f"{OPEN}{inside}</svg>".encode())


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<html/>",
        b"<svg/>",
        b"<svg xmlns='http://www.w3.org/2000/svg'>",
        b"<!DOCTYPE svg [<!ENTITY a 'x'>]><svg xmlns='http://www.w3.org/2000/svg'>&a;</svg>",
        b"<!doctype svg SYSTEM 'file:///etc/passwd'><svg xmlns='http://www.w3.org/2000/svg'/>",
        "<svg xmlns='http://www.w3.org/2000/svg'/>".encode("utf-16"),
        b"\x1f\x8bgz",
    ],
)
def test_what_is_no_plain_drawing_is_refused(data: bytes) -> None:
    with pytest.raises(NotPublishable):
        remade_svg(data)


def test_a_table_is_its_figures() -> None:
    ending, after = remade_csv(b"\xef\xbb\xbf time , level (V)\r\n0,  .5\r\n1e-3,4.750\r\n")
    assert (ending, after) == (".csv", b"time,level (V)\n0.0,0.5\n0.001,4.75\n")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "time,level\n",
        "Model,BenchCam 3\ntime,level\n0,1\n",
        "owner: Orla Pennick of Harbour Street,x\n0,1\n",
        "time,level\n0,1\n# PA-0007,\n",
        "time,level\n0,1,2\n",
        "time,level\n0,=1+1\n",
        "=cmd|' /C calc'!A0,x\n0,1\n",
        "0,nan\n",
        "0,1e999\n",
        '"0,1\n',
        ",".join("1" * 17),
    ],
)
def test_words_in_a_table_are_refused(text: str) -> None:
    with pytest.raises(NotPublishable):
        remade_csv(text.encode())


def test_a_capture_has_an_address_of_its_content(tmp_path: Path) -> None:
    (tmp_path / "captures").mkdir()
    (tmp_path / "captures" / "pennick.csv").write_text("0,1\n", encoding="utf-8")
    found = Attachments(tmp_path, frozenset(("captures/pennick.csv",))).capture("captures/pennick.csv")
    assert isinstance(found, Attached)
    assert found.path.startswith("files/")
    assert found.path.endswith(".csv")
    assert "pennick" not in found.path
