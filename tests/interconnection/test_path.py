"""The way of the array's current to the meter: every busbar and every feeder on it, and what is missing for each."""

import pytest

from reportgen.interconnection.connect import connect
from reportgen.interconnection.path import check_path
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from tests.interconnection.houses import WIRE, chain_house, main_panel, panel_house, subpanel

JOINED = {"array_joins": "along the feeder", "tap": {**WIRE, "size": "6", "length_ft": 20}}   # 65 A at 75 °C


def _path(*panels, inverter_a=16.0, edition=2020, rule=None):
    return check_path(chain_house(*panels, inverter_a=inverter_a, edition=edition), inverter_a, rule)


def _by_key(path):
    return {(check.where, check.key): check for check in path.every_rule}


def test_every_panel_counts_its_own_busbar_its_own_device_and_all_sources_at_or_below_it():
    old = {"name": "old array", "breaker_a": 20, "output_a": 8.0, "position": "far end"}
    path = _path(subpanel(), main_panel(sources=[old]))
    assert path.verdict == FITS
    assert [(p.protected_by_a, p.total_a, p.limit_a) for p in path.panels] == [
        (100, pytest.approx(120), pytest.approx(120)), (200, pytest.approx(230), pytest.approx(240))]
    assert path.margin.value == pytest.approx(0, abs=1e-9) and path.largest_a == pytest.approx(16)


def test_one_failure_anywhere_fails_the_path_and_is_named_with_its_place():
    path = _path(subpanel(busbar_a=200), main_panel(), inverter_a=40.0)
    assert path.verdict == DOES_NOT_FIT
    assert path.reason.startswith("Main panel: 200 A + 1.25 × 40 A = 250 A")
    assert path.largest_a == pytest.approx(32)


def test_the_feeders_breaker_beside_the_main_leaves_the_main_panel_the_sum_rule_alone():
    assert _path(subpanel(), main_panel(position="beside the main")).verdict == DOES_NOT_FIT
    assert _path(subpanel(), main_panel(225, 200, position="beside the main")).verdict == FITS


def test_where_nobody_said_where_the_feeders_breaker_sits_a_photo_is_asked_for():
    path = _path(subpanel(), main_panel(position=None))
    assert path.verdict == CANNOT_SAY
    assert "feeder's breaker" in path.photos[0] and "main panel" in path.photos[0]
    assert _path(subpanel(), main_panel(225, 200, position=None)).verdict == FITS     # the sum rule needs no place


def test_a_panel_without_its_busbar_rating_stops_the_path_but_not_a_failure_elsewhere():
    path = _path(subpanel(), main_panel(busbar_a=None))
    assert path.verdict == CANNOT_SAY and path.largest_a is None and "label" in path.photos[0]
    assert _path(subpanel(position="beside the main"), main_panel(busbar_a=None)).verdict == DOES_NOT_FIT


def test_a_feeder_that_nobody_described_is_asked_for():
    path = _path({**subpanel(), "feeder": None, "protected_by_a": 100}, main_panel())
    assert path.verdict == CANNOT_SAY and any("nothing is opened for it" in photo for photo in path.photos)


def test_the_feeder_carries_1_25_times_what_the_array_sends_back():
    """8 AWG copper at 60 °C: 40 A (NEC Table 310.16); 1.25 × 40 = 50 > 40."""
    thin = {"size": "8", "terminals_c": 60}
    path = _path(subpanel(200, 60, feeder=thin), main_panel(225, 200), inverter_a=40.0)
    assert path.verdict == DOES_NOT_FIT
    check = _by_key(path)["feeder of the garage subpanel", "feeder"]
    assert check.margin_a.value == pytest.approx(-10) and "NEC 2020, 705.12(B)(1)" in check.clause


def test_the_feeders_breaker_carries_it_too():
    """Common practice, the clause from memory: a breaker that carries 48 A for hours is at least 60 A."""
    path = _path(subpanel(200, 50), main_panel(400, 200), inverter_a=48.0)
    check = _by_key(path)["feeder of the garage subpanel", "feeder_device"]
    assert (path.verdict, check.verdict, check.margin_a.value) == (DOES_NOT_FIT, DOES_NOT_FIT, pytest.approx(-10))
    assert "not read in print" in check.caution


def test_past_a_joint_the_wires_carry_feeder_device_and_array_or_a_device_there_holds_them():
    """705.12: ampacity ≥ feeder device + 1.25 × I, or a device past the joint not above the ampacity (100 A here)."""
    without = _by_key(_path(subpanel(200, 90, feeder=JOINED), main_panel()))["feeder of the garage subpanel", "feeder_joint"]
    assert (without.verdict, without.margin_a.value) == (DOES_NOT_FIT, pytest.approx(100 - 90 - 20))
    smaller = _by_key(_path(subpanel(200, 80, feeder=JOINED), main_panel()))["feeder of the garage subpanel", "feeder_joint"]
    assert (smaller.verdict, smaller.margin_a.value) == (FITS, pytest.approx(0, abs=1e-9))
    held = _path(subpanel(100, 100, feeder={**JOINED, "device_past_joint_a": 100}), main_panel())
    assert held.verdict == FITS


def test_a_device_past_the_joint_may_not_be_the_next_rating_above_the_wires():
    """Rounding up by 240.4(B) is not available there (licence-renewal course page 970)."""
    wire = {**JOINED, "size": "4", "device_past_joint_a": 90}      # 85 A at 75 °C; the next standard rating is 90 A
    path = _path(subpanel(100, 90, feeder=wire), main_panel())
    check = _by_key(path)["feeder of the garage subpanel", "feeder_joint"]
    assert (check.verdict, check.margin_a.value) == (DOES_NOT_FIT, pytest.approx(-5))


@pytest.mark.parametrize("edition, need_a", [(2017, (100 + 1.25 * 15.2) / 3), (2020, (100 + 20) / 3), (2023, (100 + 20) / 3)])
def test_a_25_ft_tap_is_a_third_of_both_devices_and_in_2017_of_device_and_current(edition, need_a):
    """Licence-renewal course page 1568 (2020, 2023); NFPA 70-2017 public transcription, 705.12(B)(2)(2)."""
    wire = {**JOINED, "device_past_joint_a": 100}
    path = _path(subpanel(100, 100, feeder=wire), main_panel(), inverter_a=15.2, edition=edition)
    tap = _by_key(path)["feeder of the garage subpanel", "feeder_tap"]
    assert tap.margin_a.value == pytest.approx(65 - need_a) and tap.verdict == FITS


def test_a_10_ft_tap_is_a_tenth_of_the_feeders_device_and_never_less_than_1_25_times_the_current():
    """NEC 240.21(B)(1), 2023 public transcription; source conductors: 705.60(C), 2017."""
    wire = {**JOINED, "device_past_joint_a": 100, "tap": {**WIRE, "size": "10", "terminals_c": 60, "length_ft": 9}}   # 30 A
    small = _by_key(_path(subpanel(100, 100, feeder=wire), main_panel(), inverter_a=8.0))
    assert small["feeder of the garage subpanel", "feeder_tap"].margin_a.value == pytest.approx(30 - 10)   # 1.25 × 8 A = 10 A
    large = _by_key(_path(subpanel(100, 100, feeder=wire), main_panel(), inverter_a=25.0))
    assert large["feeder of the garage subpanel", "feeder_tap"].verdict == DOES_NOT_FIT                    # 31.25 A > 30 A


def test_a_longer_tap_is_left_to_an_electrician():
    wire = {**JOINED, "device_past_joint_a": 100, "tap": {**WIRE, "size": "6", "length_ft": 26}}
    assert _path(subpanel(100, 100, feeder=wire), main_panel()).verdict == CANNOT_SAY


def test_a_joint_before_main_lugs_puts_both_devices_on_the_subpanels_busbar():
    path = _path(subpanel(100, 80, feeder=JOINED), main_panel())
    check = _by_key(path)["garage subpanel", "sum_rule"]
    assert check.sentence == "80 A + 1.25 × 16 A = 100 A, at most 100 A: 0 A left."
    assert path.verdict == FITS


def test_the_named_rule_holds_for_the_panel_that_takes_the_array_and_the_others_choose():
    sub = subpanel(125, 100, position="far end")
    by_sum, by_share = _path(sub, main_panel(), rule="sum_rule"), _path(sub, main_panel(), rule="rule_120")
    assert [c.key for c in by_sum.checks if "panel" in c.where and "feeder" not in c.where] == ["sum_rule", "rule_120"]
    assert (by_sum.verdict, by_sum.largest_a) == (FITS, pytest.approx(20))
    assert (by_share.verdict, by_share.largest_a) == (FITS, pytest.approx(32))   # the main panel's 120 % rule


def test_a_free_choice_allows_what_the_most_generous_rule_allows():
    house = panel_house(200, 150, 40.0)
    assert check_path(house, 40.0).largest_a == max(check_path(house, 40.0, rule).largest_a for rule in ("sum_rule", "rule_120"))


def test_without_a_size_the_largest_is_still_given():
    path = check_path(panel_house(200, 200), None)
    assert path.verdict == CANNOT_SAY and path.largest_a == pytest.approx(32)


def test_figures_of_a_chain_have_keys_of_their_own_and_the_first_panel_keeps_its_keys():
    keys = [figure.key for figure in connect(chain_house(subpanel(), main_panel())).figures]
    assert len(keys) == len(set(keys))
    assert {"interconnection.rule_120_margin_a", "interconnection.panel_2_rule_120_margin_a",
            "interconnection.feeder_1_feeder_margin_a"} <= set(keys)


# All breakers: load and source breakers without the main, at most the busbar (NFPA 70-2017 transcription, 705.12(B)(2)(3)(c)).
@pytest.mark.parametrize("loads, verdict, left_a", [([20, 20, 30, 15], FITS, 0.0), ([20, 20, 30, 20], DOES_NOT_FIT, -5.0)])
def test_the_all_breakers_rule_leaves_out_the_main_and_holds_at_any_place(loads, verdict, left_a):
    path = check_path(panel_house(125, 125, 32.0, position="beside the main", load_breakers_a=loads), 32.0, "all_breakers")
    assert (path.verdict, path.margin.value) == (verdict, pytest.approx(left_a))


def test_the_all_breakers_rule_counts_every_source_breaker_by_its_handle():
    monitor = {"name": "meter", "kind": "monitoring", "breaker_a": 15}
    path = check_path(panel_house(125, 125, 32.0, load_breakers_a=[60], sources=[monitor]), 32.0, "all_breakers")
    assert path.margin.value == pytest.approx(125 - 60 - 15 - 40)
    assert path.largest_a == pytest.approx(50 / 1.25)      # the largest standard breaker within 50 A is 50 A


def test_a_list_of_breakers_that_nobody_wrote_stops_no_other_rule():
    path = check_path(panel_house(200, 200, 48.0), 48.0)
    assert path.verdict == DOES_NOT_FIT
    alone = check_path(panel_house(200, 200, 48.0), 48.0, "all_breakers")
    assert alone.verdict == CANNOT_SAY and "every number on a handle" in alone.photos[0]


def test_feed_through_lugs_have_no_rule_in_2017_and_a_disputed_one_without_a_breaker():
    for edition, lugs in ((2017, "lugs"), (2017, "lugs with a breaker"), (2020, "lugs"), (2023, "lugs")):
        for inverter_a in (16.0, 100.0):
            path = check_path(panel_house(200, 150, inverter_a, edition=edition, feed_through=lugs), inverter_a)
            assert path.verdict == CANNOT_SAY and any("building office" in photo for photo in path.photos)


@pytest.mark.parametrize("breaker_a, verdict", [(100, FITS), (110, DOES_NOT_FIT), (None, CANNOT_SAY)])
def test_with_a_breaker_at_their_start_the_sums_hold_where_it_protects_the_wires(breaker_a, verdict):
    """705.12(B)(3)(6), 2020: licence-renewal course page 972."""
    house = panel_house(200, 200, 32.0, feed_through="lugs with a breaker", feed_through_breaker_a=breaker_a, feed_through_wires=WIRE)
    path = check_path(house, 32.0)
    assert path.verdict == verdict
    assert path.panels[0].verdict == verdict


def test_an_array_on_the_feed_through_wires_shares_them_with_the_breaker_at_their_start():
    facts = {"feed_through": "lugs with a breaker", "array_on_feed_through": True, "feed_through_wires": WIRE, "position": None}
    assert check_path(panel_house(200, 200, 32.0, feed_through_breaker_a=60, **facts), 32.0).verdict == FITS    # 60 + 40 ≤ 100
    path = check_path(panel_house(200, 200, 32.0, feed_through_breaker_a=70, **facts), 32.0)
    assert path.verdict == CANNOT_SAY and "where along the wires" in path.photos[0]
    assert check_path(panel_house(200, 150, 50.4, feed_through_breaker_a=60, **{
        **facts, "feed_through_wires": {**WIRE, "size": "8"}}), 50.4).verdict == DOES_NOT_FIT                     # 63 > 50 A


def test_a_panel_without_such_lugs_cannot_be_joined_there():
    assert check_path(panel_house(200, 150, 16.0, feed_through="none"), 16.0, "feed_through").verdict == DOES_NOT_FIT
    assert check_path(panel_house(200, 150, 16.0), 16.0, "feed_through").verdict == CANNOT_SAY


def test_a_full_panel_needs_room_which_is_a_change_and_not_a_sum():
    connection = connect(panel_house(200, 200, 32.0, free_two_pole_spaces=0))
    assert connection.checks[1].verdict == FITS and connection.checks[1].margin_a.value == pytest.approx(0, abs=1e-9)
    assert connection.verdict == DOES_NOT_FIT and "No two neighbouring spaces are free" in connection.sentence
    way = next(way for way in connection.ways if way.key == "rule_120")
    assert way.verdict == FITS and not way.changes_nothing and "make room" in way.change
    seen = connect(panel_house(200, 200, 32.0, seen=["no room for a breaker"]))
    assert (seen.verdict, seen.sentence) == (connection.verdict, connection.sentence)


def test_a_chosen_way_that_fits_by_arithmetic_decides_and_is_named():
    price = [{"way": "larger panel", "low": 3000, "high": 5000}]
    asked = connect(panel_house(200, 200, 48.0, prices=price))
    assert asked.verdict == DOES_NOT_FIT and "that changes something fits by arithmetic" in asked.sentence
    chosen = connect(panel_house(200, 200, 48.0, prices=price, way="larger panel"))
    assert chosen.verdict == FITS and "225 A" in chosen.sentence and chosen.chosen.key == "larger_panel"
    wrong = connect(panel_house(200, 200, 48.0, way="supply side"))
    assert wrong.verdict == DOES_NOT_FIT and wrong.chosen is None


def test_a_source_that_is_already_beside_the_main_breaks_the_120_percent_rule_for_all():
    near = {"name": "old array", "breaker_a": 15, "output_a": 8.0, "position": "beside the main"}
    assert check_path(panel_house(200, 200, 16.0, sources=[near]), 16.0).verdict == DOES_NOT_FIT
    assert check_path(panel_house(200, 200, 16.0, sources=[{**near, "position": "far end"}]), 16.0).verdict == FITS


def test_a_generator_without_any_interlock_is_told_apart():
    loose = connect(panel_house(200, 200, 16.0, sources=[{"name": "generator", "kind": "generator", "breaker_a": 30,
                                                          "interlocked": False}]))
    assert "wires in the street" in loose.findings[0]
