"""What the models of the house file share: strict sections, and kinds of values with their limits."""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from reportgen.describe.lettering import in_lettering

COMPASS_DEG = {
    "north": 0.0, "north-north-east": 22.5, "north-east": 45.0, "east-north-east": 67.5,
    "east": 90.0, "east-south-east": 112.5, "south-east": 135.0, "south-south-east": 157.5,
    "south": 180.0, "south-south-west": 202.5, "south-west": 225.0, "west-south-west": 247.5,
    "west": 270.0, "west-north-west": 292.5, "north-west": 315.0, "north-north-west": 337.5,
}
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")
FT_M = 0.3048


def _day(value):
    """Dates stay text in the YAML reader; only the plain form 2026-11-25 is read as a day."""
    if isinstance(value, date):
        return value
    if not isinstance(value, str) or not re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        raise ValueError("a day is written year-month-day, for example 2026-11-25")
    try:
        day = date.fromisoformat(value)
    except ValueError:
        raise ValueError("there is no such day in the calendar; write year-month-day, for example 2026-11-25") from None
    if not 2000 <= day.year <= 2100:
        raise ValueError("a day between the years 2000 and 2100 is expected")
    return day


def _twelve(value):
    """One number stands for all twelve months."""
    return [value] * 12 if isinstance(value, (int, float)) and not isinstance(value, bool) else value


def to_tenths(degrees: float) -> float:
    """Rounded to 0.1 degree (about 10 km), so that no report can lead to a house."""
    return round(degrees, 1)


Day = Annotated[date, BeforeValidator(_day)]
Percent = Annotated[float, Field(ge=0, le=100)]
Money = Annotated[float, Field(ge=0, le=1_000_000_000)]
ShortText = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(in_lettering)]
TwelvePercents = Annotated[list[Percent], BeforeValidator(_twelve), Field(min_length=12, max_length=12)]
TwelveKwh = Annotated[list[Annotated[float, Field(ge=0)]], Field(min_length=12, max_length=12)]


class Section(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, use_attribute_docstrings=True,
                              allow_inf_nan=False, validate_default=False)


def raise_placed(section: Section, found: list[tuple[tuple, str]]) -> None:
    """Each (path below the section, sentence) as an error of its own, so that the line in the file can be told."""
    if found:
        raise ValidationError.from_exception_data(type(section).__name__, [
            {"type": "value_error", "loc": at, "input": section, "ctx": {"error": ValueError(said)}} for at, said in found])


def at_most_one(section: Section, *keys: str) -> None:
    given = [k for k in keys if getattr(section, k) is not None]
    if len(given) > 1:
        raise ValueError(f"give only one of {', '.join(keys)}; found {' and '.join(given)}")


def exactly_one(section: Section, *keys: str) -> None:
    at_most_one(section, *keys)
    if all(getattr(section, k) is None for k in keys):
        raise ValueError(f"give one of {', '.join(keys[:-1])} or {keys[-1]}")
