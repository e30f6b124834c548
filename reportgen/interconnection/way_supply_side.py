"""A connection ahead of the main breaker: the edition's limit, wire and distances, and the utility's word first."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure, show
from reportgen.interconnection.ampacity import ampacity, asks
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor, has_clause, standard_ratings_a
from reportgen.interconnection.existing_sources import existing_sources
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check, Way
from reportgen.interconnection.service_load import service_rating
from reportgen.interconnection.way_parts import Question, make_way
from reportgen.interconnection.wording import amps, listed

DECIDES = "the utility first, then the inspector and a licensed electrician"
CHANGE = "a connection between meter and main breaker, with its own disconnect and overcurrent device"
ASK_UTILITY = ("Ask the utility first whether it allows a connection ahead of the main breaker, and with which "
               "equipment.")
ASK_SERVICE = ("Take a photo of the number on the main breaker's handle and of the service's label, or ask the utility "
               "for the rating of the service.")
ASK_SIZE = "Ask the seller for the inverter's data sheet."
AS_IN_2020 = "That this edition sets the same limit as that of 2020 is from memory; its text was not seen."
PRICED = ("supply side",)


@dataclass(frozen=True)
class Limit:
    """What the edition compares: the sum so far and its limit [A]; `limit_a` None where it is not known."""

    existing_a: float
    new_a: float | None
    limit_a: float | None
    counted: str                  # "breakers of all sources", "output currents of all sources"
    limit: str                    # "rating of the service"
    why_not: str = ""
    photos: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def margin_a(self) -> float | None:
        return None if self.limit_a is None or self.new_a is None else self.limit_a - self.existing_a - self.new_a


def supply_side(question: Question) -> Way:
    """The arithmetic of the edition; whether the utility lets it happen is asked before anything else."""
    edition, word = question.edition, question.house.electrical.utility.allows_supply_side
    limit = _by_breakers(question) if edition == 2017 else _by_wires(question)
    check = _check(question, limit)
    verdict, reason = check.verdict, check.sentence
    if word is False:
        verdict = DOES_NOT_FIT
        reason = f"The utility does not allow it{_read_on(question)}. By arithmetic alone: {reason}"
    elif word is None:
        reason += " Ask the utility first: many allow no connection there, or only with equipment they name."
    else:
        reason += f" The utility allows it{_read_on(question)}."
    photos = (*(limit.photos if check.verdict == CANNOT_SAY else ()), *((ASK_UTILITY,) if word is None else ()))
    largest = None if word is False else _largest_a(question, limit)
    return make_way(question, "supply_side", verdict, reason, check.clause, change=CHANGE, decides=DECIDES,
                    priced=PRICED, margin=check.margin_a, largest_a=largest, proof=_proof(question, limit, largest),
                    checks=(check,), conditions=check.conditions, photos=photos)


def _by_breakers(question: Question) -> Limit:
    """2017: the ratings of all sources' overcurrent devices together, at most the rating of the service."""
    device, service_a = question.circuit.device.value, service_rating(question.house).value
    existing = sum(s.breaker_a for s in _counted(question))
    why, photos = "", ()
    if service_a is None:
        why, photos = "Cannot say without the rating of the service.", (ASK_SERVICE,)
    elif device is None:
        why, photos = "Cannot say without a breaker for the new inverters.", (ASK_SIZE,)
    return Limit(existing, device, service_a, "breakers of all sources", "the rating of the service", why, photos)


def _by_wires(question: Question) -> Limit:
    """From 2020 on: the output currents of all sources together, at most what the service's wires carry."""
    wire, service_a = question.house.electrical.service_conductor, service_rating(question.house).value
    existing = sum(s.output_a for s in _counted(question))
    counted, limit = "output currents of all sources", "what the service's wires carry"
    if wire is None:
        photo = ("Ask the utility for the size and metal of the service's wires, or ask an electrician; those wires are live and nobody "
                 "else goes near them.")
        why = "Cannot say without the size and metal of the service's wires, from meter to main breaker."
        return Limit(existing, question.new_a, None, counted, limit, why, (photo,))
    found = ampacity(wire, question.edition, service_a)
    why, photos = "", ()
    if found.a is None:
        why = f"Cannot say what the service's wires carry without {listed(list(found.missing))}."
        photos = tuple(text[0].upper() + text[1:] + "." for text in asks(found.missing))
    elif question.new_a is None:
        why, photos = "Cannot say without the inverter's size.", (ASK_SIZE,)
    return Limit(existing, question.new_a, found.a, counted, limit, why, photos, found.cautions)


def _check(question: Question, limit: Limit) -> Check:
    edition = question.edition
    clause = cite("supply_side_limit", edition)
    formula = f"{limit.counted} ≤ {limit.limit}"
    cautions = (*limit.cautions, *((AS_IN_2020,) if edition == 2023 else ()))
    words = {"where": "ahead of the main breaker", "formula": formula, "caution": " ".join(cautions)}
    conditions = conditions_of(edition, question.house.electrical.emergency_disconnect_outdoors,
                               question.house.electrical.fault_current_ka)
    margin = limit.margin_a
    if margin is None:
        return Check("supply_side", "Supply side", clause, CANNOT_SAY, limit.why_not, None, conditions, **words)
    verdict = FITS if margin >= -TOLERANCE_A else DOES_NOT_FIT
    compared = "at most" if verdict == FITS else "more than"
    total = f"{_sum_text(limit)}, {compared} {limit.limit}, {amps(limit.limit_a, 1)}"
    left = f"{amps(max(margin, 0.0), 1)} left" if verdict == FITS else f"{amps(-margin, 1)} too much"
    figure = Figure("interconnection.supply_side_margin_a", "Left ahead of the main breaker", margin, "A",
                    formula=_margin_formula(limit), sources=(clause,))
    sentence = f"{limit.counted[0].upper()}{limit.counted[1:]}: {total}: {left}."
    return Check("supply_side", "Supply side", clause, verdict, sentence, figure, conditions, **words)


def _sum_text(limit: Limit) -> str:
    if not limit.existing_a:
        return amps(limit.new_a, 2)
    return f"{amps(limit.existing_a, 2)} + {amps(limit.new_a, 2)} = {amps(limit.existing_a + limit.new_a, 2)}"


def _margin_formula(limit: Limit) -> str:
    existing = f" − {amps(limit.existing_a, 2)}" if limit.existing_a else ""
    return f"{amps(limit.limit_a, 1)}{existing} − {amps(limit.new_a, 2)} = {amps(limit.margin_a, 1)}"


def conditions_of(edition: int, emergency_outdoors: bool | None, fault_current_ka: float | None = None) -> tuple[str, ...]:
    """What must also hold ahead of the main breaker, in the edition's own distances and sizes."""
    device = cite("supply_side_device", edition)
    distance = {
        2017: ("The overcurrent device sits within 10 ft (3 m) of the connection, or cable limiters or "
               f"current-limiting breakers are set there ({device})."),
        2020: ("Inside a dwelling the overcurrent device sits within 10 ft (3 m) of the connection; wires outdoors "
               f"may be of any length ({device})."),
        2023: ("This edition names no length of its own for the wires up to the overcurrent device; the rules for "
               f"service wires and their equipment hold ({device})."),
    }[edition]
    share = factor("continuous_current")
    texts = [distance]
    if has_clause("supply_side_wire", edition):
        texts.append(f"The wires are at least 6 AWG copper or 4 AWG aluminum ({cite('supply_side_wire', edition)}), "
                     f"and carry {share:g} × the output current.")
    else:
        texts.append(f"The wires carry {share:g} × the output current ({cite('source_current', edition)}); this "
                     "edition names no smallest size of its own.")
    texts.append(_fault_rating(fault_current_ka))
    texts.append("Neutral, equipment ground and grounding electrodes are bonded there as at a service; the electrician and the inspector "
                 "say how.")
    texts.append(f"The disconnect is made for use as service equipment ({cite('supply_side_disconnect', edition)}) and "
                 "counts among the service disconnects, of which there are at most six "
                 f"({cite('six_disconnects', edition)}).")
    if edition >= 2020:
        texts.append("Each service disconnect sits in an enclosure or compartment of its own "
                     f"({cite('six_disconnects', edition)}); an old set in one enclosure may stay.")
    if has_clause("emergency_outdoors", edition):
        there = {True: "The house has one already; ask whether it stays good after the change.",
                 False: "The house has none today.", None: "Nobody has said whether there is one."}[emergency_outdoors]
        when = ("once service equipment is replaced" if edition >= 2023 else
                "with new service equipment; whether this work brings it, the inspector decides")
        texts.append(f"A dwelling needs an emergency disconnect outdoors {when} ({cite('emergency_outdoors', edition)}). {there}")
    splice = f" ({cite('service_splice', edition)})" if has_clause("service_splice", edition) else ""
    texts.append(f"Whatever joins the service's wires is marked for the line side of a service{splice}. A joint inside "
                 "a factory-made meter and main combination can void its listing.")
    texts.append("The meter socket and the utility's own wires carry the array's current too: the utility says whether "
                 "they do.")
    texts.append("The wires there have no breaker before them but the utility's own: the utility cuts the power for "
                 "this work.")
    return tuple(texts)


def _fault_rating(fault_current_ka: float | None) -> str:
    known = (f", which is {show(fault_current_ka, 'kA', 1)} by the utility's word" if fault_current_ka is not None
             else "; ask the utility for it")
    return f"The disconnect and its fuses or breaker bear the fault current that the utility can drive here{known}."


def _largest_a(question: Question, limit: Limit) -> float | None:
    """Largest continuous output of new inverters that the limit allows [A]."""
    if limit.limit_a is None:
        return None
    room = max(0.0, limit.limit_a - limit.existing_a)
    if question.edition != 2017:
        return room
    devices = [r for r in standard_ratings_a(2017) if r <= room + TOLERANCE_A]
    return devices[-1] / factor("continuous_current") if devices else 0.0


def _proof(question: Question, limit: Limit, largest_a: float | None) -> str:
    if largest_a is None:
        return ""
    existing = f" − {amps(limit.existing_a, 2)}" if limit.existing_a else ""
    room = f"{amps(limit.limit_a, 1)}{existing}"
    if question.edition != 2017:
        return f"{limit.limit}: {room}{f' = {amps(largest_a, 2)}' if existing else ''}"
    share = factor("continuous_current")
    return f"largest standard breaker up to {room}: {amps(largest_a * share)}; / {share:g} = {amps(largest_a, 2)}"


def _counted(question: Question):
    return [s for s in existing_sources(list(question.house.electrical.all_sources))[0] if s.counts]


def _read_on(question: Question) -> str:
    read_on = question.house.electrical.utility.read_on
    return f" ({read_on})" if read_on else ""
