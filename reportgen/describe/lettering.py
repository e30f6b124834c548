"""The signs that the report can set: a text with any other would leave a hole in the page."""

from __future__ import annotations

# Latin with its accents, and the punctuation that both embedded families hold (a test compares them with the fonts).
RANGES = ((0x20, 0x7E), (0xA0, 0x12B), (0x12E, 0x131), (0x134, 0x165), (0x168, 0x17F), (0x218, 0x21B), (0x2013, 0x2014),
          (0x2018, 0x201A), (0x201C, 0x201E), (0x2026, 0x2026), (0x20AC, 0x20AC))


def has_sign(character: str) -> bool:
    return any(low <= ord(character) <= high for low, high in RANGES)


def in_lettering(text: str) -> str:
    """The text itself; ValueError with a sentence where the report's lettering lacks a sign of it."""
    for character in text:
        if not has_sign(character):
            raise ValueError(f"the report's lettering has no sign for {character!r} (U+{ord(character):04X}); write it in "
                             "Latin letters")
    return text
