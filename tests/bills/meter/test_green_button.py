"""Green Button XML: what each defect met in public sample files becomes. Codes by espi.xsd 4.0 (NAESB REQ.21)."""

import numpy as np
import pytest

from reportgen.bills.meter.espi_codes import summer_time_rule
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


def said(readings, words):
    return any(words in line for line in readings.found)


def test_watt_hours_become_kwh_by_the_power_of_ten(tmp_path):
    assert read(tmp_path, plain_feed(hourly(3, value=1500))).import_kwh.tolist() == [1.5, 1.5, 1.5]
    assert read(tmp_path, plain_feed(hourly(3, value=2), powerOfTenMultiplier=3)).import_kwh.sum() == 6.0
    assert read(tmp_path, plain_feed(hourly(3, value=2_000_000), powerOfTenMultiplier=-3)).import_kwh.sum() == 6.0


def test_watts_are_the_mean_power_of_the_interval(tmp_path):
    half_hours = [reading(JANUARY_UTC + 1800 * k, 460, 1800) for k in range(4)]
    readings = read(tmp_path, plain_feed(half_hours, uom=38))
    assert readings.import_kwh.tolist() == pytest.approx([0.23] * 4)   # 460 W for 30 minutes
    assert said(readings, "mean power")


def test_a_repeated_block_counts_once(tmp_path):
    twice = feed(meter(), reading_type(), blocks(block(hourly(24))), blocks(block(hourly(24))))
    readings = read(tmp_path, twice)
    assert readings.import_kwh.sum() == 24.0
    assert said(readings, "same value: 24")


def test_newest_first_is_sorted(tmp_path):
    readings = read(tmp_path, plain_feed([reading(JANUARY_UTC + 3600 * k, 1000 + k) for k in reversed(range(24))]))
    assert (np.diff(readings.start_utc) == 3600).all() and readings.import_kwh[0] == 1.0
    assert said(readings, "sorted")


def test_ninety_seven_quarter_hours_of_one_day_are_97_quarter_hours(tmp_path):
    readings = read(tmp_path, plain_feed([reading(JANUARY_UTC + 900 * k, 100, 900) for k in range(97)]))
    assert len(readings.start_utc) == 97 and readings.step_s == 900 and readings.import_kwh.sum() == pytest.approx(9.7)


def test_days_at_clock_changes_last_23_and_25_hours(tmp_path):
    lengths = [86400, 82800, 86400, 90000, 86400]
    starts = JANUARY_UTC + np.concatenate(([0], np.cumsum(lengths[:-1])))
    readings = read(tmp_path, plain_feed([reading(s, 20000, n) for s, n in zip(starts, lengths, strict=True)]))
    assert readings.gaps == () and said(readings, "23 hours, 25 hours")


@pytest.mark.parametrize(("rule", "words"), [("360E2000", "second Sunday of March 02:00"), ("B40E2000", "first Sunday of November 02:00"),
                                             ("FFFFFFFF", "off"), ("B40E", None), ("", None), ("not hex!", None), (None, None)])
def test_rules_of_summer_time(rule, words):
    # The three whole rules as met in public sample files; their meaning by the schema's bit table.
    assert summer_time_rule(rule) == words


def test_a_truncated_rule_of_summer_time_changes_nothing(tmp_path):
    clock = entry("<LocalTimeParameters><dstEndRule>B40E</dstEndRule><dstOffset>3600</dstOffset><dstStartRule>360E2000</dstStartRule>"
                  "<tzOffset>-18000</tzOffset></LocalTimeParameters>")
    readings = read(tmp_path, feed(clock, meter(), reading_type(), blocks(block(hourly(3)))))
    assert readings.start_utc[0] == JANUARY_UTC and said(readings, "can't be read")


def test_elements_the_schema_does_not_know_are_passed_over(tmp_path):
    odd = reading(JANUARY_UTC, 1000).replace("<timePeriod>", "<timePeriod><timezone>x</timezone>")
    kind = reading_type().replace("<uom>", "<interharmonic><numerator>6</numerator></interharmonic><uom>")
    readings = read(tmp_path, feed(meter(), kind, blocks(block([odd]))))
    assert readings.import_kwh.tolist() == [1.0] and said(readings, "passed over")


def test_any_prefix_or_none(tmp_path):
    usual = plain_feed(hourly(3))
    bare = usual.replace(' xmlns="http://naesb.org/espi"', "").replace(' xmlns="http://www.w3.org/2005/Atom"', "")
    names = ("feed", "entry", "link", "content", "UsagePoint", "ReadingType", "IntervalBlock", "IntervalReading", "timePeriod", "start",
             "duration", "value", "uom", "interval", "MeterReading", "flowDirection")
    prefixed = bare
    for name in names:
        for opening in ("<", "</"):
            for closing in (">", " ", "/"):
                prefixed = prefixed.replace(f"{opening}{name}{closing}", f"{opening}ns0:{name}{closing}")
    prefixed = prefixed.replace("<ns0:feed", '<ns0:feed xmlns:ns0="urn:x"', 1)
    sums = [read(tmp_path, text).import_kwh.sum() for text in (usual, bare, prefixed)]
    assert sums == [3.0, 3.0, 3.0]


def test_start_times_with_decimals(tmp_path):
    readings = read(tmp_path, plain_feed([reading(f"{JANUARY_UTC + 3600 * k}.000", 1000) for k in range(3)]))
    assert readings.start_utc.tolist() == [JANUARY_UTC, JANUARY_UTC + 3600, JANUARY_UTC + 7200]


def test_several_blocks_in_one_content_are_all_read(tmp_path):
    both = block(hourly(24)) + block(hourly(24, JANUARY_UTC + 86400), JANUARY_UTC + 86400)
    readings = read(tmp_path, feed(meter(), reading_type(), blocks(both)))
    assert readings.import_kwh.sum() == 48.0 and said(readings, "several interval blocks")


def test_an_empty_kind_of_service_is_electricity_by_its_unit(tmp_path):
    readings = read(tmp_path, feed(meter(kind=""), reading_type(), blocks(block(hourly(3)))))
    assert readings.import_kwh.sum() == 3.0 and said(readings, "leaves the kind of service empty")


def test_readings_without_a_time_follow_one_another(tmp_path):
    readings = read(tmp_path, plain_feed([reading(None, 1000 + k) for k in range(4)], intervalLength=900))
    assert readings.start_utc.tolist() == [JANUARY_UTC + 900 * k for k in range(4)] and (readings.seconds == 900).all()


def test_quality_marks_are_counted_and_shown(tmp_path):
    marks = ["", "<ReadingQuality><quality>8</quality></ReadingQuality>", "<ReadingQuality><quality>19</quality></ReadingQuality>",
             "<ReadingQuality><quality>8</quality></ReadingQuality>"]
    readings = read(tmp_path, plain_feed([reading(JANUARY_UTC + 3600 * k, inside=m) for k, m in enumerate(marks)]))
    assert dict(readings.quality) == {"estimated by a reference day": 2, "of revenue quality": 1}
    assert said(readings, "2 estimated by a reference day")


def test_export_is_a_series_of_its_own_and_never_added(tmp_path):
    both = feed(meter(kinds=(1, 2)), reading_type(1), reading_type(2, flowDirection=19),
                blocks(block(hourly(24, value=700)), kind=1), blocks(block(hourly(24, value=300)), kind=2))
    readings = read(tmp_path, both)
    assert readings.import_kwh.sum() == pytest.approx(16.8) and readings.export_kwh.sum() == pytest.approx(7.2)


def test_net_readings_are_split_by_their_sign(tmp_path):
    values = [500, -200, 300, -100]
    readings = read(tmp_path, plain_feed([reading(JANUARY_UTC + 3600 * k, v) for k, v in enumerate(values)], flowDirection=4))
    assert readings.import_kwh.tolist() == [0.5, 0, 0.3, 0] and readings.export_kwh.tolist() == [0, 0.2, 0, 0.1]
    assert said(readings, "net within each interval")


def test_of_two_series_of_one_direction_the_finer_is_taken(tmp_path):
    both = feed(meter(kinds=(1, 2)), reading_type(1, intervalLength=86400), reading_type(2, intervalLength=3600),
                blocks(block([reading(JANUARY_UTC, 24000, 86400)]), kind=1), blocks(block(hourly(24)), kind=2))
    readings = read(tmp_path, both)
    assert readings.step_s == 3600 and readings.import_kwh.sum() == 24.0 and said(readings, "2 series")


def test_gas_beside_electricity_is_passed_over(tmp_path):
    mixed = feed(meter(1, kind="1", kinds=(1,)), meter(2, kind="0", kinds=(2,)), reading_type(1, uom=169), reading_type(2),
                 blocks(block(hourly(3)), 1, 1), blocks(block(hourly(3)), 2, 2))
    readings = read(tmp_path, mixed)
    assert readings.import_kwh.sum() == 3.0 and said(readings, "gas")


def test_a_missing_value_is_a_gap_and_not_a_zero(tmp_path):
    holed = hourly(4)
    holed[2] = reading(JANUARY_UTC + 7200, "")
    readings = read(tmp_path, plain_feed(holed))
    assert len(readings.import_kwh) == 3 and readings.gaps == ((JANUARY_UTC + 7200, 3600),)
    assert said(readings, "without a value, which count as missing: 1")


def test_utf_16_and_a_byte_order_mark(tmp_path):
    text = plain_feed(hourly(3))
    assert read(tmp_path, b"\xef\xbb\xbf" + text.encode()).import_kwh.sum() == 3.0
    assert read(tmp_path, text.replace('version="1.0"', 'version="1.0" encoding="UTF-16"').encode("utf-16")).import_kwh.sum() == 3.0


def test_memory_stays_far_below_the_size_of_the_file(tmp_path):
    import tracemalloc

    from reportgen.bills.meter.espi_stream import read_stream
    path = tmp_path / "big.xml"
    one_block = block(hourly(20_000)).replace("<IntervalReading>", "\n" + " " * 120 + "<IntervalReading>")
    path.write_text(feed(meter(), reading_type(), blocks(one_block)))
    tracemalloc.start()
    stream = read_stream(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert sum(len(b.value) for b in stream.blocks.values()) == 20_000
    assert peak < 0.4 * path.stat().st_size
