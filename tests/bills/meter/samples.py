"""Small meter files of our own, written by hand or by rule. All names in them are invented."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from reportgen.bills.meter.read import read_meter_file
from reportgen.describe.meter_file import MeterFile

JANUARY_UTC = 1672531200      # 2023-01-01 00:00 UTC
EASTERN = "America/New_York"


def reading(start=None, value="1000", seconds=3600, inside=""):
    period = "" if start is None else f"<timePeriod><duration>{seconds}</duration><start>{start}</start></timePeriod>"
    return f"<IntervalReading><cost>77</cost>{inside}{period}<value>{value}</value></IntervalReading>"


def block(readings, start=JANUARY_UTC):
    return f'<IntervalBlock xmlns="http://naesb.org/espi"><interval><duration>86400</duration><start>{start}</start></interval>' \
           f'{"".join(readings)}</IntervalBlock>'


def reading_type(number=1, **fields):
    usual = {"accumulationBehaviour": 4, "flowDirection": 1, "intervalLength": 3600, "powerOfTenMultiplier": 0, "uom": 72}
    usual.update(fields)
    inside = "".join(f"<{k}>{v}</{k}>" for k, v in usual.items() if v is not None)
    return entry(f'<ReadingType xmlns="http://naesb.org/espi">{inside}</ReadingType>', own=f"type/{number}")


def entry(content, own="", up="", related=(), title=""):
    links = "".join(f'<link rel="{rel}" href="{href}"/>' for rel, href in
                    (("self", own), ("up", up), *(("related", r) for r in related)) if href)
    return f"<entry>{links}<title>{title}</title><content>{content}</content></entry>"


def meter(number=1, kind="0", kinds=(1,), inside=""):
    """A usage point and its MeterReadings, one for each ReadingType in kinds."""
    point = f"house/{number}"
    service = f"<ServiceCategory><kind>{kind}</kind></ServiceCategory>"
    made = entry(f'<UsagePoint xmlns="http://naesb.org/espi">{service}{inside}</UsagePoint>', point, related=[f"{point}/readings"])
    for k in kinds:
        own = f"{point}/readings/{k}"
        made += entry('<MeterReading xmlns="http://naesb.org/espi"/>', own, f"{point}/readings", [f"{own}/blocks", f"type/{k}"])
    return made


def blocks(content, number=1, kind=1):
    return entry(content, f"house/{number}/readings/{kind}/blocks/1", f"house/{number}/readings/{kind}/blocks")


def feed(*entries):
    return f'<?xml version="1.0"?><feed xmlns="http://www.w3.org/2005/Atom">{"".join(entries)}</feed>'


def plain_feed(readings, **fields):
    return feed(meter(), reading_type(**fields), blocks(block(readings)))


def hourly(count, start=JANUARY_UTC, value=1000):
    return [reading(start + 3600 * k, value) for k in range(count)]


def read(folder, text, name="meter.xml", zone=EASTERN, **settings):
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_meter_file(path, MeterFile(file=name, **settings) if settings else None, zone)


def read_csv(folder, text, **settings):
    return read(folder, text, "meter.csv", **settings)


def clock_rows(days, step_s=3600, zone=EASTERN, first=datetime(2023, 1, 1), form="{t:%Y-%m-%d %H:%M},{kwh}", stamps="start", kwh=None):
    """Rows of whole days on a household's clock: 23 hours in spring, 25 in autumn."""
    clock = ZoneInfo(zone)
    at = first.replace(tzinfo=clock).astimezone(UTC)
    end = (first + timedelta(days=days)).replace(tzinfo=clock).astimezone(UTC)
    rows, k = [], 0
    while at < end:
        shown = at + timedelta(seconds=step_s) if stamps == "end" else at
        value = (0.25 + 0.01 * (k % 24)) if kwh is None else kwh
        rows.append(form.format(t=shown.astimezone(clock), kwh=round(value, 4)))
        at, k = at + timedelta(seconds=step_s), k + 1
    return rows
