"""Photograph files: what is read, how it is turned, and what is refused."""

import struct
import zlib
from io import BytesIO
from pathlib import Path

import numpy as np
import pi_heif
import pytest
from PIL import Image

from estimator.errors import InputError
from estimator.photo.base.reading import WORKING_PIXELS, read_picture

RED, GREEN, BLUE, GREY = (200, 30, 20), (20, 160, 40), (30, 40, 180), (120, 120, 120)


def quarters(width: int = 480, height: int = 320) -> Image.Image:
    """Red and green above, blue and grey below, so that every turn is seen."""
    picture = Image.new("RGB", (width, height))
    half_w, half_h = width // 2, height // 2
    for colour, at in (
        (RED, (0, 0)),
        (GREEN, (half_w, 0)),
        (BLUE, (0, half_h)),
        (GREY, (half_w, half_h)),
    ):
        picture.paste(colour, (*at, at[0] + half_w, at[1] + half_h))
    return picture


def colours_of(path: Path) -> list[tuple[int, ...]]:
    """Red, green, blue in the middle of the four quarters, row by row."""
    pixels = read_picture(path).pixels
    height, width = pixels.shape[:2]
    places = [(height // 4, width // 4), (height // 4, 3 * width // 4)]
    places += [(3 * height // 4, width // 4), (3 * height // 4, 3 * width // 4)]
    return [tuple(int(each) for each in pixels[place][::-1]) for place in places]


def assert_upright(path: Path, tolerance: int = 6) -> None:
    for found, wanted in zip(colours_of(path), (RED, GREEN, BLUE, GREY), strict=True):
        assert np.abs(np.subtract(found, wanted)).max() <= tolerance


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp"])
def test_colours_stand_as_blue_green_red_with_x_to_the_right_and_y_down(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"hide.{ending}"
    quarters().save(path, quality=95)
    assert_upright(path)
    assert read_picture(path).size_px == (480, 320)
    assert read_picture(path).shrunk == 1.0


TURNED_BACK = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
"""How a camera held so stores an upright scene; from the table of orientations in Exif 2.32."""


@pytest.mark.parametrize("orientation", sorted(TURNED_BACK))
@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp"])
def test_a_photo_held_any_way_is_read_upright(
    tmp_path: Path, orientation: int, ending: str
) -> None:
    stored = quarters().transpose(TURNED_BACK[orientation])
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = tmp_path / f"turned.{ending}"
    stored.save(path, exif=exif, quality=95)
    assert_upright(path)
    assert read_picture(path).size_px == (480, 320)


def test_the_focal_length_is_read_and_a_cut_picture_is_known(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0xA405: 26, 0xA002: 480, 0xA003: 320})
    quarters().save(tmp_path / "whole.jpg", exif=exif)
    quarters().crop((0, 0, 480, 310)).save(tmp_path / "cut.jpg", exif=exif)
    whole, cut = (read_picture(tmp_path / f"{name}.jpg") for name in ("whole", "cut"))
    assert (whole.focal_35mm, whole.is_whole_frame) == (26.0, True)
    assert (cut.focal_35mm, cut.is_whole_frame) == (26.0, False)


@pytest.mark.parametrize("told", [0, 3, 65000])
def test_an_impossible_focal_length_is_not_believed(tmp_path: Path, told: int) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = told
    quarters().save(tmp_path / "odd.jpg", exif=exif)
    assert read_picture(tmp_path / "odd.jpg").focal_35mm is None


def test_grey_stays_grey(tmp_path: Path) -> None:
    quarters().convert("L").save(tmp_path / "grey.jpg", quality=95)
    pixels = read_picture(tmp_path / "grey.jpg").pixels
    assert np.ptp(pixels.astype(int), axis=2).max() == 0
    assert pixels.max() > 100


def test_sixteen_bits_become_eight_of_the_same_brightness(tmp_path: Path) -> None:
    deep = np.full((320, 480), 40_000, dtype=np.uint16)
    deep[:, 240:] = 10_000
    for ending in ("png", "tif"):
        path = tmp_path / f"deep.{ending}"
        Image.fromarray(deep).save(path)
        pixels = read_picture(path).pixels
        assert pixels[10, 10].tolist() == [155] * 3  # 40000 / 65535 of 255
        assert pixels[10, 400].tolist() == [38] * 3


def test_fractions_in_a_tiff_are_read(tmp_path: Path) -> None:
    path = tmp_path / "real.tif"
    Image.fromarray(np.linspace(0, 1, 480 * 320, dtype=np.float32).reshape(320, 480)).save(path)
    pixels = read_picture(path).pixels
    assert (pixels[0, 0, 0], pixels[-1, -1, 0]) == (0, 255)


@pytest.mark.parametrize(("mode", "ending"), [("P", "png"), ("CMYK", "jpg"), ("CMYK", "tif")])
def test_palette_and_printing_colours_are_read(tmp_path: Path, mode: str, ending: str) -> None:
    path = tmp_path / f"odd.{ending}"
    quarters().convert(mode).save(path, quality=95)
    assert_upright(path, tolerance=40)


def test_what_is_transparent_is_neither_paper_nor_leather(tmp_path: Path) -> None:
    seen = quarters().convert("RGBA")
    seen.paste((255, 255, 255, 0), (0, 0, 240, 160))
    seen.save(tmp_path / "holed.png")
    assert colours_of(tmp_path / "holed.png")[0] == (128, 128, 128)
    assert colours_of(tmp_path / "holed.png")[1] == GREEN


def test_a_large_picture_is_shrunk_to_the_working_size(tmp_path: Path) -> None:
    path = tmp_path / "large.jpg"
    quarters(5200, 3900).save(path, quality=90)
    picture = read_picture(path)
    width, height = picture.size_px
    assert 0.97 * WORKING_PIXELS < width * height <= 1.001 * WORKING_PIXELS
    assert width / height == pytest.approx(4 / 3, rel=1e-3)
    assert picture.shrunk == pytest.approx(width / 5200)
    assert_upright(path)


def test_a_photo_within_a_photo_file_is_read_by_its_first_picture(tmp_path: Path) -> None:
    path = tmp_path / "pair.jpg"
    second = Image.new("RGB", (480, 320))
    quarters().save(path, format="MPO", save_all=True, append_images=[second], quality=95)
    assert_upright(path)


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_picture(path)
    (fault,) = caught.value.faults
    assert fault.file == str(path)
    assert fault.remedy
    return fault.problem


def test_text_nothing_a_folder_and_no_file_are_refused(tmp_path: Path) -> None:
    (tmp_path / "text.jpg").write_text("a hide, 1.1 m long")
    (tmp_path / "empty.jpg").write_bytes(b"")
    assert "no picture" in refusal(tmp_path / "text.jpg")
    assert "no picture" in refusal(tmp_path / "empty.jpg")
    assert "is a folder" in refusal(tmp_path)
    assert "does not exist" in refusal(tmp_path / "none.jpg")


def test_other_kinds_of_files_are_refused(tmp_path: Path) -> None:
    quarters().save(tmp_path / "moving.gif")
    quarters().save(tmp_path / "page.jpg", format="PDF")
    assert "no picture" in refusal(tmp_path / "moving.gif")
    assert "no picture" in refusal(tmp_path / "page.jpg")


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp"])
def test_a_file_that_ends_too_early_is_refused(tmp_path: Path, ending: str) -> None:
    stream = BytesIO()
    noise = np.random.default_rng(0).integers(0, 255, (320, 480, 3), dtype=np.uint8)
    Image.fromarray(noise).save(stream, format={"jpg": "JPEG", "tif": "TIFF"}.get(ending, ending))
    path = tmp_path / f"part.{ending}"
    path.write_bytes(stream.getvalue()[: len(stream.getvalue()) // 2])
    assert "damaged" in refusal(path) or "no picture" in refusal(path)


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp"])
def test_a_file_with_bytes_changed_is_read_or_refused_but_never_breaks(
    tmp_path: Path, ending: str
) -> None:
    rng = np.random.default_rng(7)
    stream = BytesIO()
    quarters().save(stream, format={"jpg": "JPEG", "tif": "TIFF"}.get(ending, ending))
    whole = np.frombuffer(stream.getvalue(), dtype=np.uint8)
    path = tmp_path / f"hit.{ending}"
    for _ in range(60):
        hit = whole.copy()
        places = rng.integers(0, min(len(hit), 2000), 12)
        hit[places] = rng.integers(0, 255, 12)
        path.write_bytes(hit.tobytes())
        try:
            told = read_picture(path).pixels.shape[2] == 3
        except InputError as error:
            told = bool(error.faults[0].remedy)
        assert told


def test_a_picture_bomb_is_refused_before_it_is_decoded(tmp_path: Path) -> None:
    def chunk(kind: bytes, content: bytes) -> bytes:
        told = struct.pack(">I", len(content)) + kind + content
        return told + struct.pack(">I", zlib.crc32(kind + content))

    for side in (11_000, 60_000):
        header = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
        body = zlib.compress(b"\0" * 1000)
        path = tmp_path / f"bomb{side}.png"
        path.write_bytes(
            b"\x89PNG\r\n\x1a\n"
            + chunk(b"IHDR", header)
            + chunk(b"IDAT", body)
            + chunk(b"IEND", b"")
        )
        assert "too large" in refusal(path)


def test_a_stamp_is_refused(tmp_path: Path) -> None:
    quarters(200, 400).save(tmp_path / "stamp.jpg")
    assert "too small" in refusal(tmp_path / "stamp.jpg")


@pytest.mark.parametrize("name", ["upright", "turned"])
def test_a_heic_is_read_upright(name: str) -> None:
    """The files hold the picture of this module; "turned" as a phone held upright stores it."""
    path = Path(__file__).with_name(f"{name}.heic")
    assert_upright(path)
    assert read_picture(path).focal_35mm == (26.0 if name == "turned" else None)


def test_a_heic_that_is_not_whole_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "phone.heic"
    path.write_bytes(struct.pack(">I", 24) + b"ftypheic" + b"\0" * 60)
    assert "damaged" in refusal(path)


def test_a_heic_without_its_library_tells_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert pi_heif.libheif_version()  # else the test above would tell nothing
    monkeypatch.setitem(__import__("sys").modules, "pi_heif", None)
    path = tmp_path / "phone.heic"
    path.write_bytes(struct.pack(">I", 24) + b"ftypheic" + b"\0" * 60)
    assert "not installed" in refusal(path)
