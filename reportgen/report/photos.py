"""The coach's photos, made anew from their pixels: no camera data, no place, no name of an owner goes on.

The one place that opens a photo. What a camera or a program wrote beside the pixels (EXIF with its place and owner,
comments, thumbnails, colour profiles, text chunks) never reaches an output: the pixels are copied into an empty
picture and that is encoded. The file's own name is not passed on either.
"""

from __future__ import annotations

import base64
import io
import warnings
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from reportgen.describe.inside import inside
from reportgen.describe.load import PHOTOS, Described
from reportgen.describe.problems import Problem, printable

LONGEST_SIDE_PX = 1400
QUALITY = 80                     # JPEG; a label stays readable; common practice, no source
MOST_PIXELS = 60_000_000         # of a file: more than this would not fit the memory of a small machine
MOST_BYTES = 40_000_000
FORMS = {".jpg": ("JPEG", "MPO"), ".jpeg": ("JPEG", "MPO"), ".png": ("PNG",)}    # MPO: a JPEG with further pictures behind it
WHITE = (255, 255, 255)


class PhotoUnreadable(ValueError):
    """A photo can't be shown; the text says what was found and how to mend it."""


@dataclass(frozen=True)
class ShownPhoto:
    """A photo as it may stand in a page."""

    shows: str           # "panel label"
    uri: str             # data:image/jpeg;base64,...
    width_px: int
    height_px: int
    share: bool          # False: only in the coach's own copy


def read_photos(described: Described) -> tuple[tuple[ShownPhoto, ...], tuple[Problem, ...]]:
    """Every photo that the house file names, in its order, and what is wrong with those that can't be read."""
    shown, problems = [], []
    for number, photo in enumerate(described.needed().photos):
        try:
            shown.append(_shown(described.folder, photo))
        except PhotoUnreadable as error:
            key = f"photos.{number}.file"
            spot = described.where.get(key)
            problems.append(Problem(spot.file if spot else described.path.name, spot and spot.line, spot and spot.column, key,
                                    f"found {printable(photo.file)!r}; {error}"))
    return tuple(shown), tuple(problems)


def shared_only(photos: tuple[ShownPhoto, ...]) -> tuple[ShownPhoto, ...]:
    return tuple(photo for photo in photos if photo.share)


def _shown(folder: Path, photo) -> ShownPhoto:
    path, wrong = inside(folder, f"{PHOTOS}/{photo.file}")
    if wrong:
        raise PhotoUnreadable(wrong)
    jpeg, width, height = from_pixels(path)
    return ShownPhoto(photo.shows, "data:image/jpeg;base64," + base64.b64encode(jpeg).decode(), width, height, photo.share)


def from_pixels(path: Path) -> tuple[bytes, int, int]:
    """(JPEG, width, height) of the picture in a file, upright, its longest side at most LONGEST_SIDE_PX, and nothing
    of the file but its pixels. Raises PhotoUnreadable."""
    from PIL import Image, ImageOps
    _check_size(path)
    forms = FORMS[path.suffix.lower()]
    with warnings.catch_warnings(), _whole_pictures_alone():
        warnings.simplefilter("ignore")      # Pillow warns of large pictures and odd camera data; both are dealt with here
        try:
            with Image.open(path, formats=("JPEG", "PNG")) as picture:
                _check_kind(picture, forms, path)
                if picture.format != "PNG":
                    picture.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))     # decodes a large JPEG at half its size or less
                picture.load()
                upright = ImageOps.exif_transpose(picture)
                upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
                return _encoded(upright)
        except PhotoUnreadable:
            raise
        except Image.DecompressionBombError:
            raise PhotoUnreadable(_too_many("far more")) from None
        except Exception:  # noqa: BLE001  what a decoder raises over a damaged or hostile file has no end of kinds
            raise PhotoUnreadable("it holds no picture that can be read: cut short, damaged, or something else under this name; "
                                  "take it from the camera again, or save it anew as JPEG or PNG") from None


@contextmanager
def _whole_pictures_alone():
    """The PDF engine tells Pillow to fill up files that are cut short with grey; here they are an error."""
    from PIL import ImageFile
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _check_size(path: Path) -> None:
    try:
        size = path.stat().st_size
    except OSError as error:
        raise PhotoUnreadable(f"it can't be opened: {error.strerror}") from None
    if size > MOST_BYTES:
        raise PhotoUnreadable(f"it holds {size / 1e6:,.0f} million bytes, and at most {MOST_BYTES / 1e6:,.0f} million are read; "
                              "save it smaller, 2,000 pixels on the longest side are plenty")


def _check_kind(picture, forms: tuple[str, ...], path: Path) -> None:
    if picture.format not in forms:
        real = "JPEG" if picture.format == "MPO" else picture.format
        raise PhotoUnreadable(f"its name says {forms[0]} and it holds {real}; rename it to end in "
                              f"{'.png' if real == 'PNG' else '.jpg'}, here and in the folder")
    pixels = picture.size[0] * picture.size[1]
    if pixels > MOST_PIXELS:
        raise PhotoUnreadable(_too_many(f"{pixels / 1e6:,.0f} million"))


def _too_many(pixels: str) -> str:
    return (f"it has {pixels} pixels, and at most {MOST_PIXELS / 1e6:,.0f} million are read; save it smaller, 2,000 pixels on the "
            "longest side are plenty")


def _encoded(picture) -> tuple[bytes, int, int]:
    from PIL import Image
    if picture.mode.startswith("I"):         # 16-bit grey: Pillow would cut it off instead of scaling it
        picture = picture.convert("I").point(lambda value: value * (1 / 257)).convert("L")
    clean = Image.new("RGB", picture.size, WHITE)     # an empty picture has no data beside its pixels
    if picture.has_transparency_data:
        layered = picture.convert("RGBA")
        clean.paste(layered, mask=layered.getchannel("A"))
    else:
        clean.paste(picture.convert("RGB"))
    out = io.BytesIO()
    clean.save(out, "JPEG", quality=QUALITY)
    return out.getvalue(), *clean.size
