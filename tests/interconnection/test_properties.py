"""What holds for any panel and any inverter."""

import re
from dataclasses import fields, is_dataclass

from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.interconnection.code_tables import editions, next_standard_a, standard_ratings_a
from reportgen.interconnection.connect import connect
from reportgen.interconnection.path import check_path
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.houses import chain_house, main_panel, panel_house, subpanel
from tests.report.words import FORBIDDEN

# 230.5 A is a current, not a clause.
CLAUSE = re.compile(r"\b\d{3}\.\d+\(|\b(?:690|705|240|220|230|310)\.\d+\b(?!\sA\b)|Article \d+")
CITED = re.compile(r"NEC (?:2017|2020|2023), (?:Table )?$")

SOURCES = st.lists(st.fixed_dictionaries(
    {"kind": st.sampled_from(["solar", "battery", "generator", "monitoring"]),
     "breaker_a": st.sampled_from([15, 20, 30, 60])}, optional={"output_a": st.floats(1, 48)}), max_size=2)
PANELS = st.fixed_dictionaries({
    "busbar_a": st.sampled_from([None, 70, 100, 125, 160, 200, 225, 400, 600]),
    "main_breaker_a": st.sampled_from([None, 60, 100, 125, 150, 190, 200, 225, 400, 600]),
    "edition": st.sampled_from([None, *editions()]),
    "position": st.sampled_from([None, "far end", "beside the main"]),
    "service_v": st.sampled_from([240, 208]),
    "sources": SOURCES,
    "country": st.sampled_from(["US", "US", "US", "FR"]),
    "conversion": st.sampled_from(["string inverter", "module-level"]),
    "module_count": st.integers(1, 60),
})
QUICK = settings(max_examples=60, deadline=None)


def _texts(thing):
    """Every piece of text in a Connection, however deep."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _texts(part)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from _texts(getattr(thing, field.name))


@QUICK
@given(PANELS, st.floats(0.5, 300), st.floats(0.01, 100))
def test_a_larger_inverter_never_fits_where_a_smaller_one_does_not(panel, inverter_a, more_a):
    if connect(panel_house(inverter_a=inverter_a, **panel)).verdict == DOES_NOT_FIT:
        assert connect(panel_house(inverter_a=inverter_a + more_a, **panel)).verdict == DOES_NOT_FIT


@QUICK
@given(PANELS.filter(lambda p: p["country"] == "US" and p["edition"] is not None), st.floats(0.5, 300))
def test_the_largest_inverter_fits_and_a_tenth_of_an_ampere_more_does_not(panel, inverter_a):
    largest_a = connect(panel_house(inverter_a=inverter_a, **panel)).largest_inverter.value
    if largest_a is None:
        return
    if largest_a > 0:
        assert connect(panel_house(inverter_a=largest_a, **panel)).verdict == FITS
    assert connect(panel_house(inverter_a=largest_a + 0.1, **panel)).verdict == DOES_NOT_FIT


@QUICK
@given(PANELS, st.one_of(st.none(), st.floats(0.5, 300)))
def test_every_clause_carries_its_edition_and_no_sentence_promises(panel, inverter_a):
    for text in _texts(connect(panel_house(inverter_a=inverter_a, **panel))):
        for clause in CLAUSE.finditer(text):
            assert CITED.search(text[:clause.start()]), text
        assert not any(phrase in text.lower() for phrase in FORBIDDEN), text


@QUICK
@given(PANELS, st.floats(0.5, 300))
def test_the_verdict_of_the_whole_follows_from_its_checks(panel, inverter_a):
    connection = connect(panel_house(inverter_a=inverter_a, **panel))
    verdicts = {check.verdict for check in connection.checks}
    assert (connection.verdict == FITS) == (FITS in verdicts)
    if connection.verdict == DOES_NOT_FIT:
        assert {check.verdict for check in connection.checks if check.key != "all_breakers"} == {DOES_NOT_FIT}
    keys = [figure.key for figure in connection.figures]
    assert len(keys) == len(set(keys))
    assert all(figure.formula and figure.sources for figure in connection.figures)


RANK = (DOES_NOT_FIT, CANNOT_SAY, FITS)
SUBPANELS = st.fixed_dictionaries({
    "busbar_a": st.sampled_from([70, 100, 125, 200]), "feeder_breaker_a": st.sampled_from([50, 60, 100]),
    "position": st.sampled_from(["far end", "beside the main"])}).filter(lambda p: p["busbar_a"] >= p["feeder_breaker_a"])
MAINS = st.fixed_dictionaries({
    "busbar_a": st.sampled_from([125, 200, 225]), "main_breaker_a": st.sampled_from([100, 125]),
    "position": st.sampled_from(["far end", "beside the main", None]),
    "fed_from": st.sampled_from([None, "end", "centre"]),
    "load_breakers_a": st.sampled_from([None, [20, 30], [20, 30, 50, 60]])})


def _chain(sub, main, inverter_a):
    return check_path(chain_house(subpanel(**sub), main_panel(**main), inverter_a=inverter_a), inverter_a)


@QUICK
@given(SUBPANELS, MAINS, st.floats(0.5, 120), st.sampled_from([25, 100, 200]))
def test_a_larger_busbar_never_turns_fits_into_does_not_fit(sub, main, inverter_a, more_a):
    before = _chain(sub, main, inverter_a)
    if before.verdict == FITS:
        assert _chain({**sub, "busbar_a": sub["busbar_a"] + more_a}, main, inverter_a).verdict == FITS
        assert _chain(sub, {**main, "busbar_a": main["busbar_a"] + more_a}, inverter_a).verdict == FITS


@QUICK
@given(SUBPANELS, MAINS, st.floats(0.5, 120), st.floats(0.01, 60))
def test_a_larger_inverter_never_makes_a_path_fit(sub, main, inverter_a, more_a):
    assert RANK.index(_chain(sub, main, inverter_a + more_a).verdict) <= RANK.index(_chain(sub, main, inverter_a).verdict)


@QUICK
@given(SUBPANELS, MAINS, st.floats(0.5, 120))
def test_moving_a_source_breaker_to_the_mains_end_never_helps(sub, main, inverter_a):
    far = _chain({**sub, "position": "far end"}, main, inverter_a)
    near = _chain({**sub, "position": "beside the main"}, main, inverter_a)
    assert RANK.index(near.verdict) <= RANK.index(far.verdict)
    assert (near.largest_a or 0.0) <= (far.largest_a or 0.0) + 1e-9


@QUICK
@given(PANELS.filter(lambda p: p["edition"] is not None and p["country"] == "US"), st.floats(0.5, 120))
def test_moving_an_existing_source_to_the_mains_end_never_helps(panel, inverter_a):
    def verdict(position):
        sources = [{**source, "position": position} for source in panel["sources"]]
        return connect(panel_house(inverter_a=inverter_a, **{**panel, "sources": sources})).verdict
    assert RANK.index(verdict("beside the main")) <= RANK.index(verdict("far end"))


@QUICK
@given(st.sampled_from([100, 125, 200, 225]), st.lists(st.sampled_from([15, 20, 30, 50]), max_size=12),
       st.sampled_from([15, 20, 60]), st.floats(1, 80))
def test_another_load_breaker_never_widens_a_margin(busbar_a, loads_a, one_more_a, inverter_a):
    def checks(loads):
        return {c.key: c for c in connect(panel_house(busbar_a, 100, inverter_a, load_breakers_a=loads)).checks}
    before, after = checks(loads_a), checks([*loads_a, one_more_a])
    for key, check in before.items():
        assert after[key].margin_a.value <= check.margin_a.value
        assert RANK.index(after[key].verdict) <= RANK.index(check.verdict)


@QUICK
@given(SUBPANELS, MAINS.filter(lambda m: m["position"] is not None), st.floats(0.5, 120))
def test_the_largest_array_of_a_path_passes_and_a_little_more_does_not(sub, main, inverter_a):
    largest_a = _chain(sub, main, inverter_a).largest_a
    if largest_a:
        assert _chain(sub, main, largest_a).verdict == FITS
    assert _chain(sub, main, (largest_a or 0.0) + 0.1).verdict == DOES_NOT_FIT


@QUICK
@given(st.floats(0.1, 800), st.sampled_from(editions()))
def test_the_breaker_is_the_smallest_standard_one_that_is_large_enough(current_a, edition):
    device = next_standard_a(current_a, edition)
    assert device >= current_a - 1e-6
    assert all(rating < current_a for rating in standard_ratings_a(edition) if rating < device)
