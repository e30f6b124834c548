"""Code numbers of the energy usage schema (NAESB REQ.21, espi.xsd version 4.0 of 2023-12-13), and its summer-time rules."""

from __future__ import annotations

from reportgen.describe.fields import MONTHS

IMPORT, NET, EXPORT, TOTAL = 1, 4, 19, 20
FLOWS = {IMPORT: "taken from the grid", EXPORT: "sent to the grid", NET: "net of both directions", TOTAL: "sum of both directions"}
WATT_HOUR, WATT, JOULE = 72, 38, 31
UNITS = {72: "Wh", 38: "W", 61: "VA", 63: "VAr", 71: "VAh", 73: "VArh", 5: "A", 29: "V", 31: "J", 119: "cubic feet",
         42: "m³", 132: "BTU", 169: "therms", 0: "no unit"}
FUEL_UNITS = (119, 42, 132, 169)
DELTA = 4
ACCUMULATIONS = {1: "a bulk register's level", 2: "continuous cumulative", 3: "cumulative (the counter's level)",
                 6: "indicating", 9: "a summation", 12: "instantaneous"}
SERVICES = {0: "electricity", 1: "gas", 2: "water", 3: "time", 4: "heat", 5: "refuse", 6: "sewerage", 7: "rates",
            8: "television licence", 9: "internet"}
QUALITIES = {0: "valid", 7: "edited by a person", 8: "estimated by a reference day", 9: "interpolated", 10: "questionable",
             11: "derived", 12: "projected", 13: "mixed", 14: "raw", 15: "weather-normalised", 16: "other",
             17: "validated", 18: "verified", 19: "of revenue quality"}
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
ORDER = {2: "first", 3: "second", 4: "third", 5: "fourth", 6: "fifth", 7: "last"}


def quality_words(code: int) -> str:
    return QUALITIES.get(code, f"code {code}, not in the schema")


def summer_time_rule(text: str | None) -> str | None:
    """A 32-bit rule in words: "second Sunday of March 02:00", "off"; None where it can't be read (such as "B40E").

    Bits 0-11 seconds, 12-16 hour, 17-19 weekday (Monday 1), 20-24 day of month, 25-27 operator, 28-31 month.
    """
    if text is None or len(text.strip()) != 8:
        return None
    try:
        bits = int(text.strip(), 16)
    except ValueError:
        return None
    if bits == 0xFFFFFFFF:
        return "off"
    seconds, hour, weekday, day = bits & 0xFFF, bits >> 12 & 0x1F, bits >> 17 & 0x7, bits >> 20 & 0x1F
    operator, month = bits >> 25 & 0x7, bits >> 28
    if not 1 <= month <= 12 or hour > 24 or seconds > 3599:
        return None
    clock = f"{MONTHS[month - 1]} {hour:02d}:{seconds // 60:02d}"
    if operator == 0:
        return f"day {day} of {clock}" if day else None
    if weekday == 0:
        return None
    if operator == 1:
        return f"{WEEKDAYS[weekday - 1]} on or after day {day} of {clock}" if day else None
    return f"{ORDER[operator]} {WEEKDAYS[weekday - 1]} of {clock}"
