"""Pictures come out as pixels and nothing else: real files with everything that cameras and programs add."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from kb.audience.attaching import Attached, Attachments, Refused
from kb.audience.photographs import LONGEST_SIDE, MOST_PIXELS, remade_photograph
from kb.audience.refusals import NotPublishable

SECRETS = (b"Pennick", b"secret comment", b"54.5", b"xpacket", b"BenchCam", b"thumb-of-the-kitchen", b"lcms")
ORIENTATION, MAKE, GPS, ARTIST = 0x0112, 0x010F, 0x8825, 0x013B


def _exif(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKE], exif[ARTIST] = orientation, "BenchCam", "Orla Pennick"
    exif[GPS] = {1: "N", 2: (54.5, 1.0, 2.0), 29: "54.5 thumb-of-the-kitchen"}
    return exif


XMP = b'<?xpacket begin=""?><x:xmpmeta xmlns:x="adobe:ns:meta/">Pennick</x:xmpmeta><?xpacket end="w"?>'


def _profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def jpeg(size: tuple[int, int] = (80, 40), orientation: int = 1) -> bytes:
    picture = Image.new("RGB", size, "#cc2200")
    file = io.BytesIO()
    picture.save(
        file, "JPEG", exif=_exif(orientation), comment=b"secret comment", xmp=XMP, icc_profile=_profile()
    )
    return file.getvalue() + b"Pennick behind the end"


def png() -> bytes:
    said = PngInfo()
    said.add_text("Author", "Pennick")
    said.add_text("Comment", "secret comment", zip=True)
    said.add_itxt("XML:com.adobe.xmp", XMP.decode(), zip=True)
    file = io.BytesIO()
    Image.new("RGB", (80, 40), "#cc2200").save(
        file, "PNG", pnginfo=said, exif=_exif(), icc_profile=_profile(), dpi=(300, 300)
    )
    return file.getvalue()


def webp() -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (80, 40), "#cc2200").save(
        file, "WEBP", exif=_exif().tobytes(), xmp=XMP, icc_profile=_profile()
    )
    return file.getvalue()


@pytest.mark.parametrize("make", [jpeg, png, webp])
def test_nothing_but_pixels_is_left(make: Callable[[], bytes]) -> None:
    before = make()
    assert any(secret in before for secret in SECRETS)  # the file really says so
    ending, after = remade_photograph(before)
    assert not [secret for secret in SECRETS if secret in after]
    with Image.open(io.BytesIO(after)) as picture:
        picture.load()
        assert not picture.getexif()
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert ending == {"JPEG": ".jpg", "PNG": ".png"}[picture.format or ""]
        assert picture.size == (80, 40)
        red, green, blue = picture.convert("RGB").getpixel((5, 5))  # type: ignore[misc]
        assert (red > 190, green < 60, blue < 20) == (True, True, True)


@pytest.mark.parametrize("make", [jpeg, png, webp])
def test_only_the_segments_a_picture_needs_are_written(make: Callable[[], bytes]) -> None:
    ending, after = remade_photograph(make())
    if ending == ".png":
        assert _png_chunks(after) <= {b"IHDR", b"IDAT", b"IEND", b"PLTE", b"tRNS"}
    else:
        assert _jpeg_markers(after) <= {0xE0, 0xDB, 0xC0, 0xC2, 0xC4, 0xDA}
        assert after.endswith(b"\xff\xd9")


def _png_chunks(data: bytes) -> set[bytes]:
    found, at = set(), 8
    while at < len(data):
        found.add(data[at + 4 : at + 8])
        at += 12 + int.from_bytes(data[at : at + 4], "big")
    assert at == len(data)  # nothing stands behind the end
    return found


def _jpeg_markers(data: bytes) -> set[int]:
    found, at = set(), 2
    while data[at + 1] != 0xDA:
        found.add(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return found | {0xDA}


def test_a_picture_on_its_side_is_turned_upright_first() -> None:
    _, after = remade_photograph(jpeg((80, 40), orientation=6))
    with Image.open(io.BytesIO(after)) as picture:
        assert picture.size == (40, 80)


def _with_red_and_green_exchanged() -> bytes:
    """A profile of a device whose red is our green: its two tags have changed names."""
    return _profile().replace(b"rXYZ", b"temp").replace(b"gXYZ", b"rXYZ").replace(b"temp", b"gXYZ")


def test_other_colours_become_those_of_every_screen() -> None:
    file = io.BytesIO()
    picture = Image.new("RGB", (20, 20), (10, 200, 10))
    picture.save(file, "PNG", icc_profile=_with_red_and_green_exchanged())
    _, after = remade_photograph(file.getvalue())
    with Image.open(io.BytesIO(after)) as made:
        assert "icc_profile" not in made.info
        red, green, _ = made.convert("RGB").getpixel((3, 3))  # type: ignore[misc]
        assert red > 150 > green + 50


def test_a_large_picture_is_made_smaller() -> None:
    _, after = remade_photograph(jpeg((4000, 1000)))
    with Image.open(io.BytesIO(after)) as picture:
        assert picture.size == (LONGEST_SIDE, LONGEST_SIDE // 4)


def test_what_shows_through_still_does() -> None:
    file = io.BytesIO()
    Image.new("RGBA", (9, 9), (1, 2, 3, 99)).save(file, "PNG")
    ending, after = remade_photograph(file.getvalue())
    with Image.open(io.BytesIO(after)) as picture:
        assert (ending, picture.mode) == (".png", "RGBA")
        assert picture.getpixel((0, 0)) == (1, 2, 3, 99)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "CMYK", "I;16", "RGB", "RGBA"])
def test_every_kind_of_pixels_is_read(mode: str) -> None:
    file = io.BytesIO()
    Image.new(mode, (7, 5)).save(file, "JPEG" if mode == "CMYK" else "PNG")
    assert remade_photograph(file.getvalue())[1]


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert remade_photograph(png()) == remade_photograph(png())


def test_too_many_pixels_are_refused_before_they_are_unpacked() -> None:
    width = MOST_PIXELS // 1000 + 1
    header = b"IHDR" + width.to_bytes(4, "big") + (1000).to_bytes(4, "big") + b"\x08\x02\x00\x00\x00"
    import zlib  # noqa: PLC0415 - for this one file by hand

    chunk = (13).to_bytes(4, "big") + header + zlib.crc32(header).to_bytes(4, "big")
    with pytest.raises(NotPublishable, match="pixels"):
        remade_photograph(b"\x89PNG\r\n\x1a\n" + chunk + b"\x00\x00\x00\x00IEND\xaeB`\x82")


@pytest.mark.parametrize("data", [b"", b"GIF89a", b"\x89PNG\r\n\x1a\n", b"<svg/>", jpeg()[:200], b"%PDF-1.7"])
def test_what_is_no_picture_is_refused(data: bytes) -> None:
    with pytest.raises(NotPublishable):
        remade_photograph(data)


@pytest.mark.parametrize(
    ("name", "data", "what"),
    [
        ("plan.pdf", b"%PDF-1.7", "is a PDF, which is not published"),
        ("plan.docx", b"PK", "is of a kind that is not published"),
        ("moving.gif", b"GIF89a", "is of a kind that is not published"),
        ("none", b"", "is of a kind that is not published"),
        ("table.csv", b"1,2\n", "is of a kind that is not published"),
        ("broken.png", b"no", "cannot be read as a picture"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, name: str, data: bytes, what: str) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / name).write_bytes(data)
    found = Attachments(tmp_path, frozenset((f"photos/{name}",))).picture(name)
    assert isinstance(found, Refused)
    assert what in found.what
    assert found.advice


def test_the_name_of_a_file_says_nothing_of_the_old_one(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    for name in ("pennick-at-home.png", "other.png"):
        (tmp_path / "photos" / name).write_bytes(png())
    names = frozenset(("photos/pennick-at-home.png", "photos/other.png"))
    first, second = (Attachments(tmp_path, names).picture(name) for name in sorted(names))
    assert first == second
    assert isinstance(first, Attached)
    assert "pennick" not in first.path


def test_a_file_outside_the_shop_is_refused(tmp_path: Path) -> None:
    (tmp_path / "shop" / "photos").mkdir(parents=True)
    (tmp_path / "outside.png").write_bytes(png())
    (tmp_path / "shop" / "photos" / "link.png").symlink_to(tmp_path / "outside.png")
    names = frozenset(("photos/link.png", "photos/../../outside.png"))
    attachments = Attachments(tmp_path / "shop", names)
    for name in sorted(names):
        found = attachments.picture(name)
        assert isinstance(found, Refused)
        assert "leads out" in found.what
