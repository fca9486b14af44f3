"""Read a photograph file with care: upright, eight bits a colour, at a fixed working size."""

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from estimator.errors import Fault, InputError
from estimator.files import read_bytes
from estimator.photo.base.picture import Picture, Pixels

FILE_LIMIT_BYTES = 250_000_000
"""100 MP of eight bits a colour, not compressed at all, are 300 MB; photographs are far smaller."""
MOST_PIXELS = 100_000_000
"""Decoded, these take 300 MB; a file may claim more than any camera makes."""
WORKING_PIXELS = 12_200_000
"""Pictures are shrunk to this, so that every step takes the same time and has one pixel size to
be tuned for; 12 MP is what phones make by themselves (4032 x 3024)."""
LEAST_SIDE_PX = 300
"""Below this a sheet of paper on a hide is some dozens of pixels wide."""
FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")
"""JPEGs with a second picture behind the first, as some phones write, are among them."""
HEIF_BRANDS = frozenset(
    (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"heif")
)
"""First brands of High Efficiency Image Files (ISO/IEC 23008-12)."""
BACKGROUND = (128, 128, 128)
"""Shown through what is transparent: grey, which is neither paper nor leather."""

_ORIENTATION, _EXIF_IFD = 0x0112, 0x8769
_FOCAL_35MM, _EXIF_WIDTH, _EXIF_HEIGHT = 0xA405, 0xA002, 0xA003
_TAKES = "give a photograph as JPEG, PNG, TIFF, WebP or HEIC"


def read_picture(path: Path) -> Picture:
    """Read a photograph: turned upright, in colour, shrunk to the working size if larger.

    Parameters
    ----------
    path : Path
        JPEG, PNG, TIFF or WebP; HEIC if ``pi-heif`` is installed. Grey, palette, CMYK, 16 bits
        and transparency are turned into plain colour.

    Returns
    -------
    Picture
        At most about 12 MP, never enlarged.

    Raises
    ------
    InputError
        If the file cannot be read, is no picture or a damaged one, has more than 100 MP, or
        is too small to measure in.

    Notes
    -----
    Orientation, focal length and size are read from the Exif data (CIPA DC-008).
    """
    content = read_bytes(path, limit_bytes=FILE_LIMIT_BYTES)
    with _as_input_error(path):
        opened = _open_picture(content, path)
        width, height = opened.size
        _check_size(width, height, path)
        focal_35mm, is_whole = _camera_facts(opened)
        wanted = min(1.0, (WORKING_PIXELS / (width * height)) ** 0.5)
        # a JPEG can be decoded at a half or a quarter, which saves most of the memory
        opened.draft(None, (int(width * wanted), int(height * wanted)))
        upright = ImageOps.exif_transpose(_eight_bit_colour(opened))
    if upright.size[0] * upright.size[1] > WORKING_PIXELS:
        scale = (WORKING_PIXELS / (upright.width * upright.height)) ** 0.5
        smaller = (round(upright.width * scale), round(upright.height * scale))
        upright = upright.resize(smaller, Image.Resampling.BICUBIC)
    pixels: Pixels = np.ascontiguousarray(np.asarray(upright)[:, :, ::-1])
    return Picture(
        pixels=pixels,
        source=path,
        shrunk=min(1.0, max(upright.size) / max(width, height)),
        focal_35mm=focal_35mm,
        is_whole_frame=is_whole,
    )


@contextmanager
def _as_input_error(path: Path) -> Iterator[None]:
    """Turn whatever a decoder raises on a bad file into one fault."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of odd metadata, and of sizes checked here
            yield
    except InputError:
        raise
    except MemoryError:
        raise _fault(path, "needs more memory than there is", "save it smaller") from None
    except Image.DecompressionBombError:
        raise _too_large(path, "more than 100 MP") from None
    except UnidentifiedImageError:
        raise _fault(path, "is no picture that can be read", _TAKES) from None
    except Exception as error:  # decoders raise OSError, SyntaxError, struct.error and many more
        reason = " ".join(str(error).split())[:100] or type(error).__name__
        raise _fault(
            path, f"is damaged or incomplete ({reason})", "copy it from the camera again"
        ) from None


def _open_picture(content: bytes, path: Path) -> Image.Image:
    """The picture, its size known and its pixels not yet decoded."""
    if content[4:8] == b"ftyp" and content[8:12] in HEIF_BRANDS:
        return _open_heif(content, path)
    return Image.open(BytesIO(content), formats=FORMATS)


def _open_heif(content: bytes, path: Path) -> Image.Image:
    """A High Efficiency picture; its library is an extra of its own."""
    try:
        import pi_heif  # noqa: PLC0415 - optional
    except ImportError:
        raise _fault(
            path,
            "is a HEIC picture, for which pi-heif is not installed",
            "pip install 'sheath-estimator[heic]', or save it as JPEG",
        ) from None
    read = pi_heif.open_heif(BytesIO(content), convert_hdr_to_8bit=True)
    width, height = read.size
    _check_size(width, height, path)
    # the library has turned it upright and set the orientation in its Exif data to 1
    picture: Image.Image = read.to_pillow()
    return picture


def _check_size(width: int, height: int, path: Path) -> None:
    """Refuse what is too large to decode or too small to measure in."""
    if width * height > MOST_PIXELS:
        raise _too_large(path, f"{width} x {height} px, more than 100 MP")
    if min(width, height) < LEAST_SIDE_PX:
        raise _fault(
            path,
            f"is too small to measure in ({width} x {height} px)",
            "give the picture as the camera made it, 3 MP or more",
        )


def _camera_facts(opened: Image.Image) -> tuple[float | None, bool]:
    """Focal length as on 35 mm film, mm, and whether the picture may be the whole frame."""
    try:
        exif = opened.getexif().get_ifd(_EXIF_IFD)
    except (OSError, SyntaxError, ValueError, TypeError, KeyError, struct.error):
        return None, True
    focal = _exif_number(exif.get(_FOCAL_35MM))
    width, height = _exif_number(exif.get(_EXIF_WIDTH)), _exif_number(exif.get(_EXIF_HEIGHT))
    is_whole = True
    if width and height:
        short, long = sorted(opened.size)
        was_short, was_long = sorted((width, height))
        # a picture that was cut has another shape; one that was shrunk has the same
        is_whole = abs(was_long * short / (was_short * long) - 1.0) < 0.01
    return (focal if focal and 8.0 <= focal <= 400.0 else None), is_whole


def _exif_number(value: Any) -> float:
    """A number of the Exif data; 0 for nothing or nonsense."""
    try:
        number = float(value)
    except (TypeError, ValueError, ArithmeticError):
        return 0.0
    return number if 0.0 < number < 1e6 else 0.0


def _eight_bit_colour(opened: Image.Image) -> Image.Image:
    """The decoded picture as eight bits red, green, blue."""
    opened.load()
    turn = opened.getexif().get(_ORIENTATION)  # some decoders turn the picture, and clear this
    if opened.mode.startswith("I") or opened.mode == "F":
        plain = _eight_bit_grey(opened)
    elif "A" in opened.getbands() or "transparency" in opened.info:
        seen = opened.convert("RGBA")
        plain = Image.new("RGB", seen.size, BACKGROUND)
        plain.paste(seen, mask=seen.getchannel("A"))
    else:
        plain = opened.convert("RGB")
    if turn:
        plain.getexif()[_ORIENTATION] = turn
    return plain


def _eight_bit_grey(opened: Image.Image) -> Image.Image:
    """Grey of 16 or 32 bits, or of fractions, as eight bits; steps of brightness kept even."""
    deep = np.asarray(opened).astype(np.float64)
    deep = np.nan_to_num(deep, nan=0.0, posinf=0.0, neginf=0.0)
    most = float(deep.max(initial=0.0))
    white = 255.0 if most <= 255.0 and opened.mode != "F" else 65535.0
    if opened.mode == "F" or most > 65535.0:
        white = most or 1.0
    grey = np.clip(deep * (255.0 / white), 0, 255).astype(np.uint8)
    return Image.fromarray(grey).convert("RGB")


def _too_large(path: Path, how: str) -> InputError:
    return _fault(path, f"is too large ({how})", "save it smaller, 12 MP are enough")


def _fault(path: Path, problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, file=str(path)))
