"""Whatever is in a file, the reader gives readings or one sentence: never another error."""

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from reportgen.bills.meter.errors import MeterFileError
from tests.bills.meter.samples import clock_rows, hourly, plain_feed, read

XML = plain_feed(hourly(5)).encode()
CSV = ("Name,Ada\n\nStart,Usage (kWh),Export (kWh)\n" + "\n".join(clock_rows(1, form="{t:%m/%d/%Y %H:%M},{kwh},0"))).encode()
PIECES = st.sampled_from([b"", b"-", b"9999999999", b"1e400", b"NaN", b",", b";", b'"', b"\n", b"\0", b"\xff", b"<", b"&", b"24:00", b"0",
                          b"2023-13-45", b"32767", b"99/99/9999 99:99", b"\xe2\x82\xac", b"</IntervalBlock>", b"."])


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from([XML, CSV]), st.lists(st.tuples(st.floats(0, 1), st.integers(0, 12), PIECES), min_size=1, max_size=4))
def test_only_one_kind_of_error(tmp_path, content, changes):
    for where, dropped, piece in changes:
        at = int(where * len(content))
        content = content[:at] + piece + content[at + dropped:]
    try:
        readings = read(tmp_path, content, "meter.csv")
        assert np.isfinite(readings.import_kwh).all() and (readings.import_kwh >= 0).all() and (np.diff(readings.start_utc) > 0).all()
        readings.hours(-5.0)
    except MeterFileError:
        pass
