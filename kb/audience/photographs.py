"""Photographs made anew from their pixels: no place, no camera, no comment, no thumbnail goes along.

The picture is turned as its camera said, brought to sRGB, made small enough for a page, and written by us.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable
from typing import TypeVar

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from kb.audience.refusals import NotPublishable

MOST_PIXELS = 60_000_000
LONGEST_SIDE = 1600
JPEG_QUALITY = 82
FORMATS = ("JPEG", "PNG", "WEBP")

Seen = TypeVar("Seen")


def remade_photograph(data: bytes) -> tuple[str, bytes]:
    """The ending and the bytes of the same picture; raises NotPublishable."""
    pixels = _tried(_pixels, data)
    return _written(pixels, as_png=pixels.mode in ("RGBA", "LA", "L", "P"))


def glanced_photograph(head: bytes) -> tuple[str, bytes]:
    """An ending and no bytes, if the beginning of a file is that of a picture to be remade.

    For a look at thousands of pictures; raises NotPublishable as far as the beginning can tell.
    """
    _tried(_size, head)
    return ".jpg", b""


def _tried(look: Callable[[bytes], Seen], data: bytes) -> Seen:
    try:
        with warnings.catch_warnings():
            # What Pillow says about odd metadata is of no interest: none of it is kept.
            warnings.simplefilter("ignore")
            return look(data)
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        if isinstance(error, Image.DecompressionBombError):
            raise _too_large() from None
        raise NotPublishable(
            "cannot be read as a picture", "open it and save it anew as JPEG or PNG"
        ) from None


def _size(head: bytes) -> None:
    with Image.open(io.BytesIO(head), formats=FORMATS) as opened:
        _refuse_too_large(opened)


def _refuse_too_large(opened: Image.Image) -> None:
    if opened.width * opened.height > MOST_PIXELS:
        raise _too_large()


def _pixels(data: bytes) -> Image.Image:
    """The picture as one sees it: first frame, upright, sRGB, and nothing but pixels."""
    with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
        _refuse_too_large(opened)
        lossless = opened.format == "PNG"
        upright = ImageOps.exif_transpose(opened)
        seen = _in_srgb(upright)
    seen.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    bare = Image.new(seen.mode, seen.size)
    bare.paste(seen)
    # A drawing saved as PNG stays sharp; a photograph becomes JPEG.
    return bare.convert("RGBA") if lossless and bare.mode == "RGB" else bare


def _in_srgb(picture: Image.Image) -> Image.Image:
    """RGB, or RGBA where something shows through, in the colours that every screen knows."""
    profile = picture.info.get("icc_profile")
    see_through = picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info
    if profile and picture.mode in ("RGB", "RGBA", "CMYK", "L"):
        converted = _by_profile(picture, profile)
        if converted is not None:
            return converted
    if picture.mode.startswith("I;16") or picture.mode in ("I", "F"):
        # Sixteen bits of grey: the upper eight are what a screen shows.
        picture = picture.convert("I").point(lambda grey: grey / 256).convert("L")
    return picture.convert("RGBA" if see_through else "RGB")


def _by_profile(picture: Image.Image, profile: bytes) -> Image.Image | None:
    """The picture converted by its own colour profile; None where the profile makes no sense."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        target = ImageCms.createProfile("sRGB")
        mode = "RGBA" if picture.mode == "RGBA" else "RGB"
        return ImageCms.profileToProfile(picture, source, target, outputMode=mode)
    except (ImageCms.PyCMSError, OSError, ValueError):
        return None


def _written(picture: Image.Image, *, as_png: bool) -> tuple[str, bytes]:
    """The bytes of bare pixels; see-through ones need PNG."""
    file = io.BytesIO()
    if as_png:
        if picture.mode == "RGBA" and picture.getchannel("A").getextrema() == (255, 255):
            picture = picture.convert("RGB")
        picture.save(file, "PNG", optimize=True)
        return ".png", file.getvalue()
    picture.convert("RGB").save(file, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return ".jpg", file.getvalue()


def _too_large() -> NotPublishable:
    return NotPublishable(f"has more than {MOST_PIXELS:,} pixels", "make it smaller")
