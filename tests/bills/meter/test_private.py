"""Names, addresses, account and meter numbers are dropped at the door: planted ones reach no result and no message."""

import traceback

import pytest

from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.read import read_meter_file
from reportgen.describe.meter_file import MeterFile
from tests.bills.meter.samples import (
    JANUARY_UTC,
    block,
    blocks,
    clock_rows,
    entry,
    feed,
    hourly,
    meter,
    reading,
    reading_type,
)

PLANTED = ("Quillfeather", "Marmalade", "8675309", "MTR-4711", "2.31E+13", "555-0100")
INSIDE = ("<customer><name>Quillfeather</name><account>8675309</account></customer><meterId>MTR-4711</meterId>"
          "<ServiceLocation><address>12 Marmalade Lane</address></ServiceLocation>")
CUSTOMER = entry("<RetailCustomer><name>Quillfeather</name><Account>8675309</Account><phone>555-0100</phone>"
                 "<address>12 Marmalade Lane</address></RetailCustomer>", "RetailCustomer/8675309", title="Quillfeather, Marmalade Lane")
PREAMBLE = 'Name,Quillfeather\nAddress,"12 Marmalade Lane"\nAccount Number,2.31E+13\nMeter,MTR-4711\nPhone,555-0100\n\n'
FORM = "Quillfeather,8675309,MTR-4711,{t:%Y-%m-%d %H:%M},{kwh},12 Marmalade Lane"
HEAD = "Customer,Account,Meter Number,Start,Usage (kWh),Service Address\n"


def private_feed(readings, **fields):
    text = feed(CUSTOMER, meter(inside=INSIDE), reading_type(**fields), blocks(block(readings)), CUSTOMER)
    return text.replace("house/1", "RetailCustomer/8675309/Quillfeather/MTR-4711").replace("<title></title>", "<title>Quillfeather</title>")


def private_csv(rows):
    return PREAMBLE + HEAD + "\n".join(rows) + "\n"


ROWS = clock_rows(3, form=FORM)


def read(folder, name, text, **settings):
    path = folder / f"Quillfeather 8675309{name}"
    path.write_text(text)
    return read_meter_file(path, MeterFile(file="meter.csv", **settings), "America/New_York")


def nothing_private(text):
    found = [word for word in PLANTED if word.lower() in text.lower()]
    assert not found, f"{found} in: {text}"


@pytest.mark.parametrize(("name", "text"), [(".xml", private_feed(hourly(24))), (".csv", private_csv(ROWS))])
def test_nothing_private_in_the_readings(tmp_path, name, text):
    for word in PLANTED[:3]:
        assert word in text
    readings = read(tmp_path, name, text)
    assert len(readings.import_kwh) >= 24
    nothing_private(repr(vars(readings)) + "\n".join(readings.found))


XML_FAULTS = {
    "unit": private_feed(hourly(3), uom=169), "counter": private_feed(hourly(3), accumulationBehaviour=3),
    "value": private_feed([reading(JANUARY_UTC, "Quillfeather")]), "time": private_feed([reading("8675309x")]),
    "truncated": private_feed(hourly(3))[:-40], "broken": private_feed(hourly(3)).replace("</title>", "<Quillfeather", 1),
    "entity": private_feed(hourly(3)).replace("<title>", "<title>&Quillfeather;", 1),
    "declared": private_feed(hourly(3)).replace("<feed", '<!DOCTYPE feed [<!ENTITY Quillfeather "8675309">]><feed', 1),
    "two meters": private_feed(hourly(3)).replace("</feed>", meter(2).replace("house/2", "Marmalade")
                                                  + blocks(block(hourly(3)), 2).replace("house/2", "Marmalade") + "</feed>"),
    "contradiction": private_feed([reading(JANUARY_UTC, 1), reading(JANUARY_UTC, 2), reading(JANUARY_UTC + 3600, 1)]),
    "no reading type": private_feed(hourly(3)).replace("ReadingType", "OtherType"),
}
CSV_FAULTS = {
    "value": (private_csv([*ROWS[:9], ROWS[9].replace(",0.34,", ",Quillfeather,"), *ROWS[10:]]), {}),
    "line": (private_csv([*ROWS[:9], "Quillfeather,8675309,MTR-4711", *ROWS[9:]]), {}),
    "another meter": (private_csv([*ROWS, ROWS[-1].replace("MTR-4711", "MTR-4711-B").replace(" 23:", " 22:")]), {}),
    "no table": (PREAMBLE, {}),
    "no unit": (private_csv(clock_rows(3, 900, form=FORM)).replace("Usage (kWh)", "Quillfeather"), {}),
    "gas": (private_csv(ROWS).replace("Usage (kWh)", "Usage Marmalade (therms)"), {}),
    "no such column": (private_csv(ROWS), {"import_column": "Nobody"}),
    "two columns": (private_csv([f"{row},1.5" for row in ROWS]).replace("Usage (kWh),Service Address",
                                                                        "Quillfeather kWh,Service Address,Marmalade kWh"), {}),
    "open quotation": (private_csv([*ROWS, '"Quillfeather', "Marmalade" * 20_000]), {}),
    "a day in no calendar": (private_csv([*ROWS, ROWS[0].replace("2023-01-01", "2023-02-31")]), {}),
    "a comma of two meanings": (private_csv(clock_rows(3, form=FORM.replace("{kwh}", '"1,234"'))), {}),
}


def message(folder, name, text, **settings):
    with pytest.raises(MeterFileError) as caught:
        read(folder, name, text, **settings)
    error = caught.value
    assert error.__cause__ is None and error.__suppress_context__ or error.__context__ is None
    return "".join(traceback.format_exception_only(error))


@pytest.mark.parametrize("name", XML_FAULTS)
def test_nothing_private_in_messages_about_xml(tmp_path, name):
    nothing_private(message(tmp_path, ".xml", XML_FAULTS[name]))


@pytest.mark.parametrize("name", CSV_FAULTS)
def test_nothing_private_in_messages_about_csv(tmp_path, name):
    text, settings = CSV_FAULTS[name]
    nothing_private(message(tmp_path, ".csv", text, **settings))


def test_a_name_in_the_head_of_a_column_is_not_repeated(tmp_path):
    readings = read(tmp_path, ".csv", private_csv(ROWS).replace("Usage (kWh)", "Usage Quillfeather 8675309 (kWh)"))
    nothing_private("\n".join(readings.found))
    assert "Import: column 5." in readings.found
