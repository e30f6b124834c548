"""The one sentence that a neighbour understands."""

from dataclasses import replace

import pytest

from reportgen.figures import Figure
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, PanelFound
from reportgen.interconnection.wording_plain import in_plain_words
from tests.interconnection.ways_houses import plain
from tests.report.connected import check, way, whole_connection

AS_IT_IS = way("sum_rule", FITS, changes_nothing=True)
FULL = way("sum_rule", DOES_NOT_FIT, changes_nothing=True)


def sentence(verdict, *ways, chosen=None, **others):
    return in_plain_words(replace(whole_connection(), verdict=verdict, ways=ways, chosen=chosen, **others))


def test_a_house_that_is_not_judged_says_why():
    assert sentence(CANNOT_SAY, judged=False, sentence="Three-phase power is not judged here.") == "Three-phase power is not judged here."


def test_what_fits_as_it_is_changes_nothing():
    said = sentence(FITS, AS_IT_IS, way("supply_side"))
    assert "by the sum of ratings alone" in said and "takes this array as it is" in said
    assert "free spaces in the right place are still to be looked at" in said       # nobody has written them


def test_only_where_spaces_and_wires_are_known_has_nothing_to_change():
    panel = PanelFound("main panel", "breaker", 200, 200, 200, "end", (), None, 2, FITS, 240, 240)
    assert "as it is: nothing there has to change" in sentence(FITS, AS_IT_IS, panels=(panel,))
    unread = check("terminal_ampacity", CANNOT_SAY, where="wires from the inverter")
    assert "the wires are still to be looked at" in sentence(FITS, AS_IT_IS, panels=(panel,), conductors=(unread,))


def test_a_stop_is_the_first_word_and_nothing_reads_as_settled():
    said = sentence(FITS, AS_IT_IS, stop="Stop first: the generator must be looked at by an electrician before anything else.")
    assert said.startswith("Stop first: the generator") and "nothing there has to change" not in said
    assert said.endswith("that counts only once this is settled.")


def test_the_smaller_inverter_is_named_apart_with_its_power():
    said = sentence(DOES_NOT_FIT, FULL, way("smaller_main"), way("smaller_inverter"))
    assert "one way that changes something would fit, and a smaller inverter of at most 7.68 kW would fit the panel as it is" in plain(said)
    assert "a smaller inverter of at most 7.68" in sentence(DOES_NOT_FIT, FULL, way("smaller_inverter"))


def test_wires_that_are_too_thin_are_named():
    thicker = way("sum_rule", FITS, change="8 AWG copper for the wires from the inverter")
    said = sentence(DOES_NOT_FIT, thicker, chosen=thicker, other_wires=thicker.change)
    assert "but not with the wires that are named: 8 AWG copper for the wires from the inverter would do by arithmetic" in said
    assert said.endswith("free spaces in the right place are still to be looked at.")


def test_a_full_panel_counts_the_ways_that_fit_and_names_the_one_in_the_cash():
    smaller = way("smaller_main", change="a 150 A main breaker")
    said = sentence(DOES_NOT_FIT, FULL, smaller, way("supply_side"), way("power_control", DOES_NOT_FIT), chosen=smaller)
    assert "does not take this array as it is, but two ways that change something would fit" in said
    assert said.endswith("this report counts on a 150 A main breaker.")


def test_a_single_way_is_one():
    assert "but one way that changes something would fit." in sentence(DOES_NOT_FIT, FULL, way("supply_side"))


def test_an_unread_panel_can_still_be_gone_round():
    said = sentence(CANNOT_SAY, way("sum_rule", CANNOT_SAY, changes_nothing=True), way("supply_side"))
    assert "cannot be judged as it is" in said and "one way" in said


def test_what_cannot_be_said_points_to_the_photos():
    assert "cannot be said yet" in sentence(CANNOT_SAY, way("sum_rule", CANNOT_SAY, changes_nothing=True))
    assert "cannot be said yet" in sentence(DOES_NOT_FIT, FULL, way("supply_side", CANNOT_SAY))


def test_where_nothing_fits_the_largest_inverter_is_named():
    assert sentence(DOES_NOT_FIT, FULL).endswith("an inverter of at most 7.68 kW would fit as the house is.")
    none_at_all = Figure("connection.largest_kw", "Largest", 0.0, "kW")
    assert sentence(DOES_NOT_FIT, FULL, largest_inverter_kw=none_at_all).endswith("no way that was tried changes that.")


@pytest.mark.parametrize("verdict", [FITS, DOES_NOT_FIT, CANNOT_SAY])
@pytest.mark.parametrize("ways", [(AS_IT_IS,), (FULL,), (FULL, way("supply_side")), (way("sum_rule", CANNOT_SAY, changes_nothing=True),), ()])
def test_it_is_one_plain_sentence_without_a_clause(verdict, ways):
    said = sentence(verdict, *ways)
    assert said.endswith(".") and said.replace("7.68", "").count(".") == 1
    assert not [word for word in ("NEC", "705", "safe", "approved", "meets") if word in said]
