"""What was found by eye on the panel, each with its consequence; and two ratings that must not be too small.

Nothing here opens a cover. Source: tables/seen.yaml.
"""

from __future__ import annotations

from functools import cache
from importlib import resources

import yaml

from reportgen.describe.electrical import Panel
from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.interconnection.code_tables import TOLERANCE_A
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Seen
from reportgen.interconnection.wording import amps, listed

NOTHING = "nothing of these"
SOCKET, SHORT_CIRCUIT = "meter socket", "short-circuit rating"
SERIES = ("Ask an electrician whether the rating is a series rating: such a rating holds only together with the very main breaker it was "
          "listed with, and a new main breaker can end it.")
STEADY_SHARE = 0.8
"""A 320 A socket goes with a 400 A service: its number is for steady current. Source: common practice, no source."""


@cache
def _table() -> dict:
    return yaml.safe_load((resources.files("reportgen") / "tables" / "seen.yaml").read_text(encoding="utf-8"))


def seen_by_eye(house: House) -> tuple[Seen, ...]:
    """Each sight of the house file in the table's order, then the meter socket and the short-circuit ratings.

    Outside the United States, where panels are marked another way, only the sights that the house file names.
    """
    if not house.place.in_us:
        return _sights(house) if house.electrical.seen else ()
    return (*_sights(house), _meter_socket(house), *_short_circuit(house))


def _sights(house: House) -> tuple[Seen, ...]:
    said, table = house.electrical.seen, _table()
    if not said:
        return (Seen(table["not_looked"]["what"], CANNOT_SAY, table["not_looked"]["consequence"], False),)
    if said == [NOTHING]:
        return (Seen(NOTHING, "", table["nothing"]["consequence"], False),)
    return tuple(Seen(row["what"], "", row["consequence"], row["stops"]) for row in table["sights"] if row["what"] in said)


def _service_a(house: House) -> float | None:
    """Rating of the service [A]: written, else the main breaker nearest the meter."""
    return house.electrical.service_a or house.electrical.chain[-1].main_breaker_a


def _meter_socket(house: House) -> Seen:
    socket_a, service_a = house.electrical.meter_socket_a, _service_a(house)
    if socket_a is None:
        return Seen(SOCKET, CANNOT_SAY, "The meter socket's rating is not known. Photo to take: the label on the meter's "
                    "box, from outside; or ask the utility. Never open the box.", False)
    if service_a is None:
        return Seen(SOCKET, CANNOT_SAY, f"The meter socket is rated {amps(socket_a)}; the service's rating is not known. "
                    "Photo to take: the main breaker nearest the meter.", False)
    numbers = f"The meter socket is given as {amps(socket_a)}, the service as {amps(service_a)}"
    if socket_a < STEADY_SHARE * service_a - TOLERANCE_A:
        return Seen(SOCKET, DOES_NOT_FIT, f"{numbers}. One of the two may be misread; an electrician and the utility look "
                    "before anything else.", True)
    if socket_a < service_a - TOLERANCE_A:
        return Seen(SOCKET, CANNOT_SAY, f"{numbers}. Many sockets carry two numbers, and the smaller, about {STEADY_SHARE:.0%} "
                    "of the other, is for steady current. Photo to take: the whole label; an electrician or the utility "
                    "says which number counts.".replace("%", " %"), False)
    return Seen(SOCKET, FITS, f"The meter socket is rated {amps(socket_a)}, not less than the service's {amps(service_a)}.",
                False)


def _short_circuit(house: House) -> tuple[Seen, ...]:
    """The panel nearest the meter sees the utility's full fault current; farther panels see less, by how much is not known."""
    fault_ka, chain = house.electrical.fault_current_ka, house.electrical.chain
    several = len(chain) > 1
    return tuple(_one_panel(panel, fault_ka, panel is chain[-1], several) for panel in chain)


def _one_panel(panel: Panel, fault_ka: float | None, nearest: bool, several: bool) -> Seen:
    what = f"{SHORT_CIRCUIT} of the {panel.name}" if several else SHORT_CIRCUIT
    rating_ka = panel.short_circuit_rating_ka
    if fault_ka is None or rating_ka is None:
        asks = [ask for value, ask in ((rating_ka, "Photo to take: the panel's label, which names its short-circuit rating."),
                                       (fault_ka, "Ask the utility which fault current it can drive here.")) if value is None]
        known = (f"The panel's rating is {_ka(rating_ka)}. " if rating_ka is not None else
                 f"The utility's fault current is {_ka(fault_ka)}. " if fault_ka is not None else "")
        wanted = [fact for value, fact in ((rating_ka, "its rating"), (fault_ka, "the utility's fault current")) if value is None]
        series = f" {SERIES}" if rating_ka is not None else ""
        return Seen(what, CANNOT_SAY, f"{known}Whether the panel bears the current of a short circuit can be told only with "
                    f"{listed(wanted)}. {' '.join(asks)}{series}", False)
    numbers = f"Rating {_ka(rating_ka)}, fault current by the utility {_ka(fault_ka)}"
    if rating_ka >= fault_ka - 1e-9:
        return Seen(what, FITS, f"{numbers}: the rating is not the smaller. Every breaker in the panel must bear it too. {SERIES}", False)
    if nearest:
        return Seen(what, DOES_NOT_FIT, f"{numbers}: the panel is rated for less. An electrician looks before anything else.",
                    True)
    return Seen(what, CANNOT_SAY, f"{numbers}. The wires up to this panel lower the current; an electrician works out by how "
                "much.", False)


def _ka(value: float) -> str:
    return show(value, "kA", 0 if abs(value - round(value)) < 1e-9 else 1)
