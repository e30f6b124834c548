"""The one verdict on connecting and its sentence: what fits as the house is, what would mend it, what is missing."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from reportgen.describe.electrical import Panel
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.findings import panels_below_main
from reportgen.interconnection.path import PathFound, device_of, position_path
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check, Way
from reportgen.interconnection.room import NO_ROOM, no_room
from reportgen.interconnection.source_circuit import SourceCircuit, number_of_inverters
from reportgen.interconnection.wording import amps, digits_to_tell_apart, listed, lower, number_word

INVERTER = "array.inverter_kw"
SPLIT = ("The panel's busbar is split, and no single device protects its upper part: rating it takes a study under an engineer's "
         "supervision.")
WHO_DECIDES = "The inspector, the utility and a licensed electrician decide."
ALL_BREAKERS_OPEN = " The rule on the sum of all breakers cannot be said until they are listed."


@dataclass(frozen=True)
class Case:
    """Everything that the verdict rests on."""

    house: House
    circuit: SourceCircuit
    path: PathFound               # as the house is
    circuit_checks: tuple[Check, ...]
    ways: tuple[Way, ...]
    chosen: Way | None
    largest: Figure
    largest_kw: Figure
    at_far_end: PathFound | None  # where the solar breaker sits elsewhere
    assumed: Collection[str]


def decide(case: Case) -> tuple[str, str]:
    """The verdict and its sentence."""
    below = panels_below_main(case.house)
    if below:
        return CANNOT_SAY, _below(case.house, below)
    if case.circuit.current_a is None:
        return CANNOT_SAY, _missing(case)
    too_large = next((c for c in case.circuit_checks if c.verdict == DOES_NOT_FIT), None)
    if too_large is not None:
        return DOES_NOT_FIT, f"{_size(case)} {_fit(case, 'do not fit')}. {too_large.where[0].upper()}{too_large.where[1:]}: {too_large.sentence}"
    mine = _own_choice(case)
    if mine:
        return FITS, mine
    if case.path.verdict == CANNOT_SAY:
        return CANNOT_SAY, _missing(case)
    if case.path.verdict == FITS and not (no_room(case.house) and not case.house.electrical.chain[0].array_on_feed_through):
        return FITS, _fits(case)
    unchanged = next((w for w in case.ways if w.verdict == FITS and w.changes_nothing), None)
    if unchanged is not None:
        return FITS, f"{_size(case)} {_fit(case, 'fit')} by arithmetic: {_inside(unchanged)} {WHO_DECIDES}"
    return DOES_NOT_FIT, _does_not_fit(case)


def _own_choice(case: Case) -> str:
    """The sentence for the way that the house file chose, where it fits by arithmetic and is another than as planned."""
    way = case.chosen
    if case.house.electrical.way is None or way is None or way.verdict != FITS or way.changes_nothing:
        return ""
    return (f"{_size(case)} {_fit(case, 'fit')} by arithmetic by the way that was chosen, {lower(way.name)} ({way.clause.split('; ')[0]}), with this "
            f"change: {way.change}. {WHO_DECIDES}")


def _inside(way: Way) -> str:
    return f"{lower(way.name)} ({way.clause}). {way.reason}"


def _below(house: House, below: tuple[Panel, ...]) -> str:
    panel = below[0]
    several = len(house.electrical.chain) > 1
    device = "main breaker" if panel.main_breaker_a is not None else "protecting breaker"
    return (f"Cannot say: the busbar's rating of {amps(panel.busbar_a)}{f' in the {panel.name}' if several else ''} is below its "
            f"{device} of {amps(device_of(panel))}. An electrician looks at the panel first.")


def _missing(case: Case) -> str:
    """What is not known, with the photo to take or whom to ask for each."""
    if case.circuit.current_a is None:
        asks = ["ask the seller for the inverter's data sheet", *[_small(p) for p in case.path.photos]]
        return f"Cannot say without {listed(['the inverter’s size', *_facts(case)])}: {'; '.join(asks)}."
    if case.path.decides.key == "split_bus":
        return f"Cannot say. {SPLIT} {' '.join(case.path.photos[:1])}"
    facts = _facts(case)
    asks = "; ".join(_small(p) for p in case.path.photos)
    if facts:
        return f"Cannot say without {listed(facts)}: {asks}."
    return f"Cannot say. {case.path.reason}" + (f" {' '.join(case.path.photos)}" if asks else "")


def _facts(case: Case) -> list[str]:
    found, several = [], len(case.path.panels) > 1
    for panel in case.path.panels:
        of = f" of the {panel.name}" if several else ""
        if panel.main == "split bus":
            continue
        if panel.busbar_a is None:
            found.append(f"the busbar's rating{of}")
        if panel.protected_by_a is None:
            found.append(f"the rating of the breaker ahead of the main lugs{of}" if panel.main == "lugs"
                         else f"the main breaker's rating{of}")
    return found


def _small(ask: str) -> str:
    text = ask.rstrip(".")
    return text[0].lower() + text[1:]


def _one(case: Case) -> bool:
    return case.house.array.conversion != "module-level" and number_of_inverters(case.house) == 1


def _fit(case: Case, verb: str) -> str:
    """'fit', 'do not fit', or the same of one inverter."""
    return {"fit": "fits", "do not fit": "does not fit"}[verb] if _one(case) else verb


def _size(case: Case, short: bool = False) -> str:
    """The new inverters with power and current; `short`: without voltage and where the current was read."""
    house, circuit = case.house, case.circuit
    margin = case.path.margin
    digits = digits_to_tell_apart(margin.value) if margin is not None else None
    volts = house.electrical.service_v or 240
    kilowatts = house.array.inverter_kw if house.array.inverter_kw is not None else circuit.current_a * volts / 1000.0
    read = " by the data sheet" if house.array.inverter_a is not None else ""
    size = f"{'A new inverter' if _one(case) else 'New inverters'} of {show(kilowatts, 'kW')} ({amps(circuit.current_a, digits)}{'' if short else f'{read}, {volts} V'})"
    return size + (", a size that was assumed," if INVERTER in case.assumed and not read else "")


def _fits(case: Case) -> str:
    check, where = _named(case), _at_the_end(case)
    under = f"under the {lower(check.name)} ({check.clause})"
    if len(case.path.panels) > 1:
        return (f"{_size(case)} {_fit(case, 'fit')} by arithmetic on every busbar and feeder up to the meter{where}; the tightest is the "
                f"{check.where}, {under}: {check.sentence} {WHO_DECIDES}")
    return f"{_size(case)} {_fit(case, 'fit')} by arithmetic{where}, {under}: {check.sentence} {WHO_DECIDES}"


def _at_the_end(case: Case) -> str:
    """Where breakers must sit for the rules that were used, and whether that was said or assumed."""
    checks = case.path.checks if len(case.path.panels) > 1 else (_named(case),)
    used = [number for number, panel in enumerate(case.path.panels, start=1)
            if any(c.where == panel.name and c.key in ("rule_120", "centre_fed") for c in checks)]
    if not used:
        return ""
    guessed = [number for number in used if position_path(case.house, number) in case.assumed]
    if len(case.path.panels) > 1:
        told = ", which was assumed where nobody said it" if guessed else ""
        return f" with the array's and the feeders' breakers at the far ends of their busbars{told}"
    end = "one end" if checks[0].key == "centre_fed" else "the far end"
    return f" with the breaker at {end} of the busbar{', which was assumed' if guessed else ''}"


def _named(case: Case) -> Check:
    """The check named for a path that fits: on one panel the rule with the fewest conditions, on several the tightest."""
    if len(case.path.panels) == 1:
        return next(c for c in case.path.every_rule if c.verdict == FITS)
    return case.path.decides


def _list_is_open(case: Case) -> bool:
    """Whether the rule on the sum of all breakers might still hold: nobody has listed them."""
    return any(way.key == "all_breakers" and way.verdict == CANNOT_SAY for way in case.ways)


def _does_not_fit(case: Case) -> str:
    path, check = case.path, case.path.decides
    if path.verdict == FITS:
        return (f"{_size(case)} {_fit(case, 'fit')} the sums, but not the panel as it is. {NO_ROOM} With room made: "
                f"{lower(_named(case).name)} ({_named(case).clause}): {_named(case).sentence} {WHO_DECIDES}")
    most = ("No new inverter fits this panel as it is." if case.largest.value == 0
            else f"The largest that would fit as installed gives {case.largest.text()} ({case.largest_kw.text()})."
            if case.largest.value is not None else "")
    mended = _mended(case.ways)
    far = case.at_far_end
    if far is not None and far.verdict == FITS:
        rule = far.decides
        return (f"{_size(case)} {_fit(case, 'do not fit')} as installed, with the breaker {_sits(case.house)}; by arithmetic "
                f"{'it fits' if _one(case) else 'they fit'} after moving to "
                f"the far end, under the {lower(rule.name)} ({rule.clause}): {rule.sentence}"
                f"{ALL_BREAKERS_OPEN if _list_is_open(case) else ''} {WHO_DECIDES}")
    if mended:
        none = "No new inverter fits there as it is. " if case.largest.value == 0 else ""
        return f"{_size(case, short=True)} {_fit(case, 'do not fit')} {_the_place(case)} as it is: {_against(case)}. {none}{mended}"
    several = len(path.panels) > 1
    place = f" at the {check.where}" if several else ""
    reason = f"{lower(check.name)} ({check.clause}): {check.sentence}"
    lead = (f"{_size(case)} {_fit(case, 'do not fit')}{place}: {reason}" if check.key not in ("sum_rule", "rule_120", "all_breakers", "centre_fed")
            else f"{_size(case)} {_fit(case, 'do not fit')}{place} under the rules that were checked; the most generous is the {reason}")
    return " ".join(part for part in (lead, most) if part)


def _the_place(case: Case) -> str:
    where = case.path.decides.where
    return where if where.lower().startswith("the ") else f"the {where}"


def _against(case: Case) -> str:
    """'260 A against 240 A (120 % rule, NEC 2020, 705.12(B)(3)(2))'; the check's own sentence where it holds no such sum."""
    check = case.path.decides
    sums = next(((t.total_a, t.limit_a) for t in case.path.every_tried if t.check is check), (None, None))
    if None in sums:
        return f"{lower(check.name)} ({check.clause}): {check.sentence.removesuffix('.')}"
    digits = digits_to_tell_apart(sums[0] - sums[1])
    return f"{amps(sums[0], digits)} against {amps(sums[1])} ({lower(check.name)}, {check.clause})"


def _sits(house: House) -> str:
    return {"beside the main": "beside the main breaker", "both ends": "at both ends"}.get(house.electrical.chain[0].source_position, "where it is")


def _mended(ways: tuple[Way, ...]) -> str:
    """How many changes make it fit by arithmetic; the table lists them."""
    fitting = [w.key for w in ways if w.verdict == FITS and not w.changes_nothing]
    smaller = "smaller_inverter" in fitting
    count = len(fitting) - smaller
    if not fitting:
        return ""
    if not count:
        return "A smaller inverter fits by arithmetic; the table shows it."
    also = ", and so does a smaller inverter" if smaller and count == 1 else ", and so would a smaller inverter" if smaller else ""
    if count == 1:
        return f"One way that changes something fits by arithmetic{also}; the table {'lists them' if smaller else 'shows it'}."
    word = number_word(count)
    return f"{word[0].upper()}{word[1:]} ways that change something fit by arithmetic{also}; the table lists them."
