"""The wires that carry one dwelling's whole load, from the meter to the service disconnect: the 83 % rule."""

from __future__ import annotations

from reportgen.describe.conductor import Conductor
from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.ampacity import asks, corrected_ampacity, dwelling_service_ampacity
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.wire_stretches import carries_whole_load
from reportgen.interconnection.wire_tables import dwelling_service_size, table_ampacity_a
from reportgen.interconnection.wording import amps

SERVICE = "service wires"
NAME = "Service wires of a dwelling"
FORMULA = "ampacity ≥ 0.83 × service rating, by the table for dwelling services"
WHOLE_LOAD = ("The wires carry the whole load of one dwelling, and nothing else hangs on them. The rule holds for single-phase "
              "120/240 V; at 120/208 V ask the electrician.")
RATING_ASK = "take a photo of the number on the service disconnect's handle"


def service_wire_checks(house: House) -> tuple[Check, ...]:
    """The dwelling rule for the service wires, and for feeders that carry the whole load; () where neither is described."""
    edition, rating_a = house.electrical.edition, service_rating_a(house)
    return tuple(_check(key, where, wire, rating_a if key == "service" else wire.breaker_a, edition)
                 for key, where, wire in _whole_load_wires(house))


def service_wire_photos(house: House) -> tuple[str, ...]:
    """What to read where that check cannot say."""
    edition, rating_a = house.electrical.edition, service_rating_a(house)
    found = []
    for key, where, wire in _whole_load_wires(house):
        device_a = rating_a if key == "service" else wire.breaker_a
        missing = dwelling_service_ampacity(wire, device_a or 100.0, edition).missing
        todo = (*asks(missing), *((RATING_ASK,) if device_a is None else ()))
        found += [f"{where[0].upper()}{where[1:]}: {ask}." for ask in todo]
    return tuple(found)


def service_rating_a(house: House) -> float | None:
    """Rating of the service [A]: as written, else the main breaker of the panel nearest the meter."""
    nearest = house.electrical.chain[-1]
    return next((a for a in (house.electrical.service_a, nearest.main_breaker_a, nearest.protected_by_a) if a is not None), None)


def _whole_load_wires(house: House) -> list[tuple[str, str, Conductor]]:
    found, chain = [], house.electrical.chain
    if house.electrical.service_conductor is not None and house.building.kind in (None, "one family"):
        found.append(("service", SERVICE, house.electrical.service_conductor))
    if len(chain) > 1 and chain[-2].feeder is not None and carries_whole_load(house, len(chain) - 1):
        found.append(("whole_load_feeder", f"feeder of the {chain[-2].name}", chain[-2].feeder))
    return found


def _check(key: str, where: str, wire: Conductor, device_a: float | None, edition: int) -> Check:
    clause = cite("dwelling_service", edition)

    def make(verdict, sentence, cautions=(), margin_a=None, sums=""):
        figure = None if margin_a is None else Figure(
            f"interconnection.{key}_dwelling_service_margin_a", f"Left, {where}: {NAME.lower()}", margin_a, "A", formula=sums or sentence,
            sources=(clause,))
        return Check("dwelling_service", NAME, clause, verdict, sentence, figure, (WHOLE_LOAD,), where, FORMULA, " ".join(cautions))

    if device_a is None:
        return make(CANNOT_SAY, f"Cannot say without the rating of the service: {RATING_ASK}.")
    found = dwelling_service_ampacity(wire, device_a, edition)
    sentence = f"{found.sentence} Needed: {factor('dwelling_service_share'):g} × {amps(device_a)} = " \
               f"{amps(factor('dwelling_service_share') * device_a, 2)}."
    size = wire.metal and dwelling_service_size(wire.metal, device_a)
    by_table = f" The table's size for {amps(device_a)}: {size} {'AWG' if len(size) < 3 or '/' in size else 'kcmil'} {wire.metal}." \
        if size else ""
    if found.missing:
        return make(CANNOT_SAY, f"{sentence}{by_table} To find out: {'; '.join(asks(found.missing))}.", found.cautions)
    verdict = FITS if found.a - device_a >= -TOLERANCE_A else DOES_NOT_FIT
    carried, needed = _carried_a(wire, edition), factor("dwelling_service_share") * device_a
    left = None if carried is None or (carried >= needed - TOLERANCE_A) != (verdict == FITS) else carried - needed
    if left is None:
        return make(verdict, sentence + by_table, found.cautions)
    end = f"{amps(max(left, 0.0), 1)} left" if verdict == FITS else f"{amps(-left, 1)} too little"
    sums = f"{amps(carried, 2)} − {factor('dwelling_service_share'):g} × {amps(device_a)} = {amps(left, 2)}"
    return make(verdict, f"{sentence.removesuffix('.')}: {end}.{by_table}", found.cautions, left, sums)


def _carried_a(wire: Conductor, edition: int) -> float | None:
    """The lower of the ampacity at 75 °C terminals and the one corrected for heat and number of wires [A]."""
    way = corrected_ampacity(wire, edition)
    if way.missing:
        return None
    return min(way.a, table_ampacity_a(wire.metal, wire.size, min(wire.terminals_c or 75, wire.insulation_c, 75)))
