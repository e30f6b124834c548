"""Green Button files that can't be used: one sentence each, no guess."""

import pytest

from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.read import read_meter_file
from tests.bills.meter.samples import (
    JANUARY_UTC,
    block,
    blocks,
    entry,
    feed,
    hourly,
    meter,
    plain_feed,
    read,
    reading,
    reading_type,
)

H = hourly(3)
LAUGHS = '<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]><feed>&b;</feed>'
OUTSIDE = '<?xml version="1.0"?><!DOCTYPE f [<!ENTITY x SYSTEM "file:///etc/passwd">]><feed>&x;</feed>'
OUTSIDE_DTD = '<?xml version="1.0"?><!DOCTYPE feed SYSTEM "http://127.0.0.1/feed.dtd"><feed/>'

CASES = {
    "gas": (feed(meter(kind="1"), reading_type(uom=169), blocks(block(H))), "is of gas"),
    "water": (feed(meter(kind="2"), reading_type(uom=42), blocks(block(H))), "is of water"),
    "gas by its unit": (feed(meter(kind=""), reading_type(uom=119), blocks(block(H))), "gas or water"),
    "cumulative": (plain_feed(H, accumulationBehaviour=3), "counter's level"),
    "bulk register": (plain_feed(H, accumulationBehaviour=1), "register's level"),
    "instantaneous": (plain_feed(H, accumulationBehaviour=12), "instantaneous"),
    "sum of directions": (plain_feed(H, flowDirection=20), "sum of both directions"),
    "export only": (plain_feed(H, flowDirection=19), "only what was sent"),
    "volts": (plain_feed(H, uom=29), "no readings of electric energy"),
    "no unit": (plain_feed(H, uom=None), "which unit"),
    "no reading type": (feed(meter(), blocks(block(H))), "no ReadingType"),
    "a bare block": (block(H), "no ReadingType"),
    "two meters": (feed(meter(1), meter(2), reading_type(), blocks(block(H), 1), blocks(block(H), 2)),
                   r"2 electricity meters \(numbers 1, 2"),
    "two meters without links": (feed(entry("<UsagePoint/>"), entry("<UsagePoint/>"), reading_type(), entry(block(H))), "2 meters"),
    "two series alike": (feed(meter(kinds=(1, 2)), reading_type(1), reading_type(2), blocks(block(H), kind=1),
                              blocks(block(hourly(3, value=5)), kind=2)), "2 series"),
    "the same start everywhere": (plain_feed([reading(JANUARY_UTC, 500 + k, 2592000) for k in range(36)]), "all 36 readings"),
    "contradiction": (plain_feed([reading(JANUARY_UTC, 500), reading(JANUARY_UTC, 600), reading(JANUARY_UTC + 3600, 1)]), "contradict"),
    "days among hours": (plain_feed([*hourly(24), reading(JANUARY_UTC - 3600, 9, 86400)]), "before the one before has ended"),
    "a clock never set": (plain_feed(hourly(3, start=0)), "before the year 2000"),
    "words for numbers": (plain_feed([reading(JANUARY_UTC, "lots")]), "a number is expected"),
    "infinite": (plain_feed([reading(JANUARY_UTC, "1e999")]), "a number is expected"),
    "a time beyond any calendar": (plain_feed([reading("1e300")]), "beyond any calendar"),
    "lasting no time": (plain_feed([reading(JANUARY_UTC, 1, 0), reading(JANUARY_UTC + 1, 1, 0)]), "last no time"),
    "lasting less than no time": (plain_feed([reading(JANUARY_UTC, 1, -5)]), "less than no time"),
    "no readings": (feed(meter(), reading_type()), "no interval readings"),
    "another XML": ("<html><body>Sign in</body></html>", "nothing of a Green Button"),
    "truncated": (plain_feed(H)[:-60], "breaks off at line 1"),
    "not well-formed": (plain_feed(H).replace("</value>", "", 1), "line 1 .* not well-formed"),
    "a prefix out of nowhere": ("<a:feed></a:feed>", "not well-formed"),
    "unknown encoding": ('<?xml version="1.0" encoding="KLINGON"?><feed/>', "encoding|well-formed"),
    "wrong encoding": (plain_feed(H).encode().replace(b"<title>", b"<title>\xff\xfe\xe9"), "not well-formed"),
    "many laughs": (LAUGHS, "document type or entities"),
    "something from outside": (OUTSIDE, "document type or entities"),
    "a document type from outside": (OUTSIDE_DTD, "document type or entities"),
    "nested without end": ("<feed>" + "<a>" * 5000, "nests"),
    "empty": ("", "is empty"),
    "only blanks": (" \n\n", "is empty"),
}


@pytest.mark.parametrize("name", CASES)
def test_refused_with_one_sentence(tmp_path, name):
    text, words = CASES[name]
    with pytest.raises(MeterFileError, match=words) as caught:
        read(tmp_path, text)
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 320
    assert caught.value.__cause__ is None


@pytest.mark.parametrize("head", [b"PK\x03\x04rest", b"%PDF-1.7 x", b"\x1f\x8b\x08rest", b"\x89PNG\r\n"])
def test_what_is_no_text_is_named(tmp_path, head):
    with pytest.raises(MeterFileError, match="not text"):
        read(tmp_path, head)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(MeterFileError, match="not in the folder meter/"):
        read_meter_file(tmp_path / "none.xml")


def test_a_kind_that_the_file_is_not(tmp_path):
    with pytest.raises(MeterFileError, match="kind: csv"):
        read(tmp_path, plain_feed(H), kind="csv")
