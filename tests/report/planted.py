"""A JPEG as a phone writes it, with everything that must not go on: owner, place, serial number, comment, thumbnail."""

from __future__ import annotations

import struct
from pathlib import Path

from PIL import Image, ImageCms, ImageDraw

OWNER, SERIAL, COMMENT, PLACE = b"Owen Ownername", b"SERIAL-90210-XYZ", b"taken from the kitchen window", b"GPSCELLAR"
THUMBNAIL = b"\xff\xd8thumbnail-of-another-picture\xff\xd9"

PLANTED = (OWNER, SERIAL, COMMENT, PLACE, THUMBNAIL)


def photo_with_secrets(path: Path) -> Path:
    picture = Image.new("RGB", (1600, 1200), (200, 200, 190))
    drawing = ImageDraw.Draw(picture)
    for step in range(0, 1600, 40):          # something to encode, so that a cut file is truly cut
        drawing.line((step, 0, 1600 - step, 1200), fill=(step % 255, 80, 40), width=7)
    exif = Image.Exif()
    exif[0x013B] = OWNER.decode()            # Artist
    exif[0x8298] = OWNER.decode()            # Copyright
    exif.get_ifd(0x8769)[0xA430] = OWNER.decode()     # CameraOwnerName
    exif.get_ifd(0x8769)[0xA431] = SERIAL.decode()    # BodySerialNumber
    place = exif.get_ifd(0x8825)
    place.update({1: "N", 2: (41.0, 40.0, 12.0), 3: "W", 4: (86.0, 15.0, 0.0), 27: PLACE, 29: "2026:11:25"})
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    picture.save(path, "JPEG", quality=90, exif=exif, icc_profile=profile, comment=COMMENT)
    return _with_thumbnail(path)


def _with_thumbnail(path: Path) -> Path:
    """A further APP1 block right behind the first, as some cameras add for a preview."""
    raw = path.read_bytes()
    block = b"PREVIEW\0" + THUMBNAIL
    path.write_bytes(raw[:2] + b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block + raw[2:])
    return path
