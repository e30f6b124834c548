"""What holds for any panels a house file can describe, sensible or not."""

import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from reportgen.describe.assumptions import complete
from reportgen.interconnection.connect import connect
from reportgen.interconnection.path import check_path
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.sizing import with_inverter_totals
from tests.houses import house

AMPS = st.sampled_from([None, 60, 100, 125, 150, 200, 225, 400])
WIRES = st.fixed_dictionaries({}, optional={
    "size": st.sampled_from(["10", "8", "6", "3", "1/0"]), "metal": st.sampled_from(["copper", "aluminum"]),
    "insulation_c": st.sampled_from([75, 90]), "terminals_c": st.sampled_from([60, 75]),
    "current_carrying": st.integers(1, 9), "hottest_air_c": st.integers(0, 60), "length_ft": st.integers(1, 60)})
SOURCES = st.lists(st.fixed_dictionaries(
    {"kind": st.sampled_from(["solar", "battery", "generator", "monitoring"]), "breaker_a": st.sampled_from([15, 20, 60])},
    optional={"output_a": st.integers(1, 40), "interlocked": st.booleans(),
              "position": st.sampled_from(["far end", "beside the main", "between"])}), max_size=2)
PANELS = st.fixed_dictionaries({"busbar_a": AMPS, "sources": SOURCES}, optional={
    "main_breaker_a": AMPS, "protected_by_a": AMPS, "fed_from": st.sampled_from(["end", "centre"]),
    "source_position": st.sampled_from(["far end", "beside the main", "both ends"]), "free_two_pole_spaces": st.integers(0, 2),
    "load_breakers_a": st.lists(st.sampled_from([15, 20, 50]), max_size=6), "array_on_feed_through": st.booleans(),
    "feed_through": st.sampled_from(["none", "lugs", "lugs with a breaker"]), "feed_through_wires": WIRES})
SPLIT = st.fixed_dictionaries({"busbar_a": AMPS, "main": st.just("split bus"), "lower_busbar_a": AMPS, "lower_breaker_a": AMPS})
FEEDERS = st.one_of(st.none(), st.fixed_dictionaries({"breaker_a": AMPS}, optional={"size": st.sampled_from(["8", "3", "1/0"])}),
                    st.fixed_dictionaries({"breaker_a": AMPS, "array_joins": st.just("along the feeder")},
                                          optional={"device_past_joint_a": AMPS, "tap": WIRES}))
CHAINS = st.lists(st.tuples(st.one_of(PANELS, PANELS, SPLIT), FEEDERS), min_size=1, max_size=3)
ARRAYS = st.sampled_from([{"inverter_a": 32.0}, {"inverter_kw": 7.6, "inverter_max_breaker_a": 40}, {}, {"inverter_a": 700.0},
                          {"conversion": "module-level", "module_count": 20, "unit_output_a": 1.2},
                          {"inverters": [{"limit_kw": 5, "output_a": 21}, {"limit_kw": 3, "count": 2}]}])


@settings(max_examples=80, deadline=None)
@given(CHAINS, ARRAYS, st.sampled_from([2017, 2020, 2023]), st.sampled_from(["one family", "two families", "other building"]))
def test_whatever_is_written_or_left_out_there_is_an_answer_that_keeps_its_promises(chain, array, edition, kind):
    panels = [{**panel, "name": f"panel {number}", **({"feeder": feeder} if feeder and number < len(chain) else {})}
              for number, (panel, feeder) in enumerate(chain, start=1)]
    try:
        described = house(electrical={"edition": edition, "panels": panels}, array=array, building={"kind": kind})
    except ValidationError:
        assume(False)
    described = with_inverter_totals(complete(described)[0])
    connection = connect(described)
    assert connection.verdict in (FITS, DOES_NOT_FIT, CANNOT_SAY)
    keys = [figure.key for figure in connection.figures]
    assert len(keys) == len(set(keys))
    assert all(math.isfinite(figure.value) and figure.formula and figure.sources for figure in connection.figures)
    lines = [(check.where, check.key) for check in connection.checks]
    assert len(lines) == len(set(lines))
    largest_a = check_path(described, None).largest_a if connection.judged else None
    if largest_a and largest_a < 600:
        assert check_path(described, largest_a).verdict == FITS
        assert check_path(described, largest_a + 0.2).verdict != FITS
