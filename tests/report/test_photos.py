"""Photos: upright, small, and nothing of the file but its pixels."""

import base64
import io
import struct
import zlib

import pytest
from PIL import Image, ImageDraw, PngImagePlugin

from reportgen.report import photos
from reportgen.report.pages import render_house, render_sheet
from reportgen.report.photos import LONGEST_SIDE_PX, PhotoUnreadable, ShownPhoto, from_pixels, read_photos
from reportgen.report.share import write_report, write_sheet
from tests.report.connected import connected
from tests.report.planted import OWNER, PLANTED, SERIAL, photo_with_secrets


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "photos").mkdir()
    return tmp_path


def read(folder, *names, share=False):
    """The photos of a house file in `folder` that names these files, and the sentences about those that can't be read."""
    from reportgen.describe.load import load_house
    entries = "\n".join(f"  - {{file: {name!r}, shows: panel label, share: {str(share).lower()}}}" for name in names)
    path = folder / "elm.yaml"
    path.write_text("name: Elm\nreport_day: 2026-11-25\nplace: {latitude: 41.7, longitude: -86.2, country: US}\n"
                    "roof: [{facing: south, slope_deg: 25}]\nuse: {annual_kwh: 9000}\n"
                    f"tariff: {{price_per_kwh: 0.15, fixed_per_month: 12, export: one-to-one}}\nphotos:\n{entries}\n", encoding="utf-8")
    described = load_house(path, folder)
    assert not described.problems, described.problems
    return read_photos(described)


def test_the_planted_secrets_are_in_the_file_before(folder):
    raw = photo_with_secrets(folder / "photos" / "label.jpg").read_bytes()
    assert all(secret in raw for secret in PLANTED)


def test_nothing_but_pixels_is_left(folder):
    """EXIF 2.32 (CIPA DC-008): owner, serial number and GPS tags; a JPEG comment; a colour profile; a thumbnail."""
    jpeg, _, _ = from_pixels(photo_with_secrets(folder / "photos" / "label.jpg"))
    assert not [secret for secret in PLANTED if secret in jpeg]
    made = Image.open(io.BytesIO(jpeg))
    assert not made.getexif() and not {"exif", "comment", "icc_profile", "xmp", "photoshop"} & made.info.keys()


def test_no_output_holds_what_the_camera_wrote(folder, tmp_path):
    photo_with_secrets(folder / "photos" / "label of O. Nobody.jpg")
    shown, problems = read(folder, "label of O. Nobody.jpg", share=True)
    assert len(shown) == 1 and not problems
    out = tmp_path / "out"
    out.mkdir()
    write_report(connected(), out, photos=shown)
    write_sheet(connected(), out / "coach.pdf", shown)
    assert {path.name for path in out.iterdir()} == {"index.html", "report.pdf", "electrician.pdf", "coach.pdf", "figures.json", "hours.csv"}
    page = (out / "index.html").read_text(encoding="utf-8")
    inside = base64.b64decode(page.split("data:image/jpeg;base64,")[1].split('"')[0])
    for content in (*(path.read_bytes() for path in out.iterdir()), inside):
        assert not [secret for secret in (*PLANTED, b"Nobody.jpg") if secret in content]


def test_a_photo_taken_sideways_stands_upright(folder):
    """EXIF 2.32, tag 0x0112: 6 means that the camera was turned by a quarter."""
    sideways = Image.new("RGB", (80, 40), "white")
    ImageDraw.Draw(sideways).rectangle((0, 0, 20, 40), fill="black")      # left as stored, top as seen
    exif = Image.Exif()
    exif[0x0112] = 6
    sideways.save(folder / "photos" / "roof.jpg", exif=exif)
    jpeg, width, height = from_pixels(folder / "photos" / "roof.jpg")
    made = Image.open(io.BytesIO(jpeg)).convert("L")
    assert (width, height) == made.size == (40, 80)
    assert made.getpixel((20, 5)) < 60 and made.getpixel((20, 70)) > 200


@pytest.mark.parametrize("size", [(4000, 3000), (3000, 4000), (5000, 40)])
def test_the_longest_side_is_bounded(folder, size):
    Image.new("RGB", size, "grey").save(folder / "photos" / "a.jpg")
    _, width, height = from_pixels(folder / "photos" / "a.jpg")
    assert max(width, height) == LONGEST_SIDE_PX
    assert width / height == pytest.approx(size[0] / size[1], rel=0.05)


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "LA", "P", "1", "I;16"])
def test_any_kind_of_png_becomes_a_jpeg(folder, mode):
    Image.new(mode, (30, 20)).save(folder / "photos" / "a.png")
    jpeg, width, height = from_pixels(folder / "photos" / "a.png")
    assert Image.open(io.BytesIO(jpeg)).mode == "RGB" and (width, height) == (30, 20)


def test_text_in_a_png_goes_too(folder):
    """PNG (ISO/IEC 15948), tEXt."""
    info = PngImagePlugin.PngInfo()
    info.add_text("Author", OWNER.decode())
    Image.new("RGB", (30, 20)).save(folder / "photos" / "a.png", pnginfo=info)
    assert OWNER not in from_pixels(folder / "photos" / "a.png")[0]


def test_the_same_file_gives_the_same_bytes(folder):
    path = photo_with_secrets(folder / "photos" / "label.jpg")
    assert from_pixels(path) == from_pixels(path)


def broken(folder, name, content):
    (folder / "photos" / name).write_bytes(content)
    shown, problems = read(folder, name)
    assert not shown and len(problems) == 1
    text = problems[0].text()
    assert name in text and "elm.yaml:8:" in text and "photos.0.file" in text
    return text


def test_a_damaged_photo_is_said_with_its_remedy(folder):
    whole = photo_with_secrets(folder / "photos" / "b.jpg").read_bytes()
    assert "take it from the camera again" in broken(folder, "a.jpg", whole[:len(whole) // 2])
    assert "take it from the camera again" in broken(folder, "a.jpg", b"")
    assert "take it from the camera again" in broken(folder, "a.jpg", b"#!/bin/sh\n")


def test_a_photo_under_a_wrong_ending_is_told_to_be_renamed(folder):
    out = io.BytesIO()
    Image.new("RGB", (30, 20)).save(out, "PNG")
    assert "it holds PNG; rename it to end in .png" in broken(folder, "a.jpg", out.getvalue())


def test_a_picture_that_would_fill_the_memory_is_refused(folder):
    """A PNG of a few hundred bytes that claims 60,000 by 60,000 pixels."""
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    def bomb(side):
        header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
        return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")

    for side in (60_000, 9_000):
        assert "save it smaller" in broken(folder, "a.png", bomb(side))


def test_a_file_that_is_too_heavy_is_not_opened(folder, monkeypatch):
    monkeypatch.setattr(photos, "MOST_BYTES", 100)
    with pytest.raises(PhotoUnreadable, match="save it smaller"):
        from_pixels(photo_with_secrets(folder / "photos" / "label.jpg"))


def test_every_photo_that_is_wrong_is_said_at_once(folder):
    for name in ("a.jpg", "b.png"):
        (folder / "photos" / name).write_bytes(b"x")
    photo_with_secrets(folder / "photos" / "c.jpg")
    shown, problems = read(folder, "a.jpg", "c.jpg", "b.png")
    assert len(shown) == 1 and [problem.path for problem in problems] == ["photos.0.file", "photos.2.file"]


def test_a_link_out_of_the_batch_is_never_followed(folder, tmp_path_factory):
    """Even where the link was laid after the house file was read."""
    outside = photo_with_secrets(tmp_path_factory.mktemp("elsewhere") / "a.jpg")
    photo_with_secrets(folder / "photos" / "a.jpg")
    from reportgen.describe.load import load_house
    read(folder, "a.jpg")
    described = load_house(folder / "elm.yaml", folder)
    (folder / "photos" / "a.jpg").unlink()
    (folder / "photos" / "a.jpg").symlink_to(outside)
    shown, problems = read_photos(described)
    assert not shown and "outside the batch folder" in problems[0].message


def shown(share, shows="panel label", size=(40, 30)):
    out = io.BytesIO()
    Image.new("RGB", size, "grey").save(out, "JPEG")
    return ShownPhoto(shows, "data:image/jpeg;base64," + base64.b64encode(out.getvalue()).decode(), *size, share)


def test_only_what_may_be_shared_stands_in_what_is_shared():
    page = render_house(connected(), {}, (shown(True, "roof"), shown(False, "meter")))
    assert page.count("<img ") == 1 and 'alt="Photo: roof"' in page and 'alt="Photo: meter"' not in page


def test_a_photo_is_shared_only_where_the_house_file_says_so(folder):
    photo_with_secrets(folder / "photos" / "a.jpg")
    assert [photo.share for photo in read(folder, "a.jpg")[0]] == [False]


def test_the_coach_sees_all_photos():
    sheet = render_sheet(connected(), (shown(True, "roof"), shown(False, "meter")))
    assert sheet.count("<img ") == 2


def test_nothing_secret_is_hidden_in_the_test_itself():
    assert SERIAL in PLANTED and len(set(PLANTED)) == len(PLANTED) >= 5
