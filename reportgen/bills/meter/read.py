"""One door for both kinds of meter file, known by their first sign."""

from __future__ import annotations

from pathlib import Path

from reportgen.bills.meter.csv_export import read_csv_export
from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.espi import read_green_button
from reportgen.bills.meter.readings import MeterReadings
from reportgen.describe.meter_file import MeterFile

MOST_MB = 250
NOT_TEXT = ((b"PK\x03\x04", "a spreadsheet or a packed file"), (b"%PDF", "a PDF"), (b"\x1f\x8b", "a packed file"),
            (b"\xd0\xcf\x11\xe0", "an old spreadsheet"), (b"\x89PNG", "a picture"), (b"\xff\xd8\xff", "a picture"))


def read_meter_file(path: Path, settings: MeterFile | None = None, time_zone: str | None = None) -> MeterReadings:
    """The readings of a meter file. Raises MeterFileError.

    settings: what the house file says of the file; it outranks what is found out.
    time_zone: the house's own, an IANA name; CSV times without a zone are read by it.
    """
    path = Path(path)
    if not path.is_file():
        raise MeterFileError("the meter file named in the house file is not in the folder meter/ of its batch. Copy it "
                             "there, or mend the name.")
    size = path.stat().st_size
    if size > MOST_MB * 1_000_000:
        raise MeterFileError(f"the meter file has {size / 1e6:,.0f} MB; at most {MOST_MB} MB are read. A year of "
                             "quarter-hours has under 20 MB: download one or two years.")
    with path.open("rb") as file:
        head = file.read(4096)
    bare = head.replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if not bare:
        raise MeterFileError("the meter file is empty. Download it again.")
    for sign, what in NOT_TEXT:
        if head.startswith(sign):
            raise MeterFileError(f"the meter file is {what}, not text. Save the readings as CSV, or unpack the XML "
                                 "file that lies inside.")
    is_xml = bare.startswith(b"<")
    if settings is not None and settings.kind is not None and (settings.kind == "green button") != is_xml:
        raise MeterFileError(f"the house file says kind: {settings.kind}, but the meter file "
                             f"{'is' if is_xml else 'is not'} XML. Leave kind out, or name the other file.")
    return read_green_button(path) if is_xml else read_csv_export(path, settings, time_zone)
