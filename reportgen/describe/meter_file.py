"""A meter's interval file, as the house file names it, and what to take where the file can't say it itself."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reportgen.describe.fields import Section, ShortText

FILE_NAME = r"^[A-Za-z0-9_-][A-Za-z0-9_. -]{0,79}\.(xml|csv|txt|XML|CSV|TXT)$"


class MeterFile(Section):
    """All but `file` is found out by reading; what is written here outranks what is found."""

    file: Annotated[str, Field(pattern=FILE_NAME)]
    """Name of the meter's file in the folder meter/ beside the house file: Green Button XML, or a CSV export."""
    kind: Literal["green button", "csv"] | None = None
    """What the file is; found out by its first sign where left out."""
    year: Annotated[int, Field(ge=2000, le=2100)] | None = None
    """The calendar year to take; the latest twelve months of the file where left out."""
    delimiter: Literal["comma", "semicolon", "tab", "bar"] | None = None
    """CSV: what stands between the columns."""
    decimal: Literal["point", "comma"] | None = None
    """CSV: the sign before the decimals."""
    unit: Literal["kWh", "Wh", "kW", "W"] | None = None
    """CSV: what the numbers are. kW and W are the mean power of each interval."""
    stamps: Literal["start", "end"] | None = None
    """CSV: whether a time names the start of its interval or the end."""
    time_zone: ShortText | None = None
    """CSV: the zone of the file's times, an IANA name such as "America/New_York", or "UTC"; the house's own where left out."""
    export: Literal["negative", "own column", "none"] | None = None
    """CSV: how power sent to the grid is written: negative numbers, a column of its own, or not at all."""
    time_column: ShortText | None = None
    """CSV: name of the column with the times, as its head writes it."""
    import_column: ShortText | None = None
    """CSV: name of the column with what was taken from the grid."""
    export_column: ShortText | None = None
    """CSV: name of the column with what was sent to the grid."""
