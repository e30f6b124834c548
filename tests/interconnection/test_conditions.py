"""What must also hold stands under the way or check that it belongs to, once."""

from dataclasses import replace

from reportgen.interconnection.conditions import grouped_conditions
from reportgen.interconnection.connect import connect
from tests.interconnection.ways_houses import EXAM_DEMAND, PRICES, SERVICE_WIRE, plain, ways_house

FULL = ways_house(200, 200, 48.0, demand=EXAM_DEMAND, service_conductor=SERVICE_WIRE, prices=PRICES)


def test_the_chosen_way_comes_first_and_others_that_fit_stand_under_their_own_names():
    groups = dict(grouped_conditions(connect(FULL)))
    assert next(iter(groups)) == "Smaller main breaker"
    supply = plain(" ".join(groups["Only for another way: Connection ahead of the main breaker (supply side)"]))
    for words in ("10 ft", "6 AWG copper or 4 AWG aluminum", "service equipment", "fault current", "bonded", "line side"):
        assert words in supply
    assert "10 ft" not in " ".join(groups["Smaller main breaker"])


def test_no_condition_stands_twice_and_none_comes_from_a_way_that_does_not_fit():
    connection = connect(FULL)
    texts = [text for _, texts in grouped_conditions(connection) for text in texts]
    assert len(set(texts)) == len(texts)
    control = next(way for way in connection.ways if way.key == "power_control")
    assert not set(control.conditions) & set(texts)


def test_without_a_chosen_way_the_rules_that_hold_as_it_is_come_first():
    connection = replace(connect(ways_house(200, 200, 32.0)), chosen=None)
    assert grouped_conditions(connection)[0][0] == "120 % rule, main panel"


def test_work_on_the_main_names_what_it_can_bring():
    for edition, brings in ((2017, False), (2020, True), (2023, True)):
        ways = connect(FULL.replaced("electrical.edition", edition)).ways
        text = plain(" ".join(text for way in ways if way.key in ("smaller_main", "larger_panel") for text in way.conditions))
        assert ("surge protector" in text) == ("emergency disconnect" in text) == brings
        assert ("whether the price holds it" in text.replace("electrician whether", "whether")) == brings
