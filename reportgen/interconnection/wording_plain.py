"""What a neighbour understands about connecting the array, made from the verdict and the ways."""

from __future__ import annotations

from reportgen.interconnection.result import CANNOT_SAY, FITS, Connection, Way
from reportgen.interconnection.wording import number_word

BOX = "the electrical panel, the box with the breakers,"
BY_SUMS = "By arithmetic, that is by the sum of ratings alone,"
NOT_GROUND = ("equipment_ground", "voltage_rise", "voltage_rise_trunk")      # left to the electrician, or a recommendation
SMALLER = "smaller_inverter"


def in_plain_words(connection: Connection) -> str:
    """The verdict without amperes of rules: a stop first where one stands, then what fits and what must change."""
    if not connection.judged:
        return connection.sentence
    if connection.stop:
        return f"{connection.stop} {_after_the_stop(connection)}"
    fitting = [way for way in connection.ways if way.verdict == FITS]
    if any(way.changes_nothing for way in fitting) or (connection.verdict == FITS and not connection.ways):
        return f"{BY_SUMS} {BOX} takes this array as it is{_still_open(connection)}."
    if connection.other_wires and connection.chosen is not None and connection.chosen.change == connection.other_wires:
        return f"{BY_SUMS} {BOX} takes this array as it is, but not with the wires that are named: {connection.other_wires} would do by arithmetic{_still_open(connection)}."
    if fitting:
        return f"{BY_SUMS} {BOX} {_as_it_is(connection)}, but {_how_many(fitting)}{_counted_on(connection)}."
    if connection.verdict == CANNOT_SAY or any(way.verdict == CANNOT_SAY for way in connection.ways):
        return ("Whether the array can be connected here cannot be said yet: something has to be read or asked first, and the "
                "list of what to find out says what.")
    return f"{BY_SUMS} {BOX} does not take this array{_largest(connection)}."


def _after_the_stop(connection: Connection) -> str:
    """What the sums alone say; they count only once the stop is settled."""
    if connection.verdict == FITS:
        return f"{BY_SUMS} {BOX} would take this array, but that counts only once this is settled."
    if any(way.verdict == FITS for way in connection.ways):
        return f"{BY_SUMS} {BOX} {_as_it_is(connection)}; the ways in the table count only once this is settled."
    return "Whether the array can be connected here is a question for after that."


def _still_open(connection: Connection) -> str:
    """What the sum of ratings does not show and nobody has written."""
    spaces = not connection.panels or connection.panels[0].free_two_pole_spaces is None
    wires = any(check.verdict == CANNOT_SAY and check.key not in NOT_GROUND for check in connection.conductors)
    wanting = ["free spaces in the right place"] * spaces + ["the wires"] * wires
    return f"; {' and '.join(wanting)} are still to be looked at" if wanting else ": nothing there has to change"


def _as_it_is(connection: Connection) -> str:
    if connection.verdict == CANNOT_SAY:
        return "cannot be judged as it is, since something on it was not read or cannot be rated by sums"
    if any(way.key == "move_breaker" and way.verdict == FITS for way in connection.ways):
        return "does not take this array with the solar breaker where it is planned, by the rules that could be worked out"
    return "does not take this array as it is"


def _how_many(fitting: list[Way]) -> str:
    """Ways that change something, and apart from them the smaller inverter with its power."""
    others = [way for way in fitting if way.key != SMALLER]
    smaller = next((way for way in fitting if way.key == SMALLER), None)
    if smaller is None:
        return _ways(len(others))
    size = f" of at most {smaller.largest_kw.text()}" if smaller.largest_kw is not None else ""
    if not others:
        return f"a smaller inverter{size} would fit the panel as it is, given two free spaces"
    return f"{_ways(len(others))}, and a smaller inverter{size} would fit the panel as it is, given two free spaces"


def _ways(count: int) -> str:
    return f"{number_word(count)} way{'s' if count > 1 else ''} that change{'' if count > 1 else 's'} something would fit"


def _counted_on(connection: Connection) -> str:
    chosen = connection.chosen
    return f"; this report counts on {chosen.change}" if chosen is not None and chosen.change and not chosen.changes_nothing else ""


def _largest(connection: Connection) -> str:
    figure = connection.largest_inverter_kw
    if figure.value is None or figure.value <= 0:
        return ", and no way that was tried changes that"
    return f", and no way that was tried changes that; an inverter of at most {figure.text()} would fit as the house is"
