"""The busbar rules of one panel: what each allows, with its numbers, and the largest inverter that would fit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from reportgen.figures import Figure
from reportgen.interconnection.code_tables import (
    TOLERANCE_A,
    BusbarRule,
    busbar_rule,
    busbar_rules,
    cite,
    factor,
    has_clause,
    next_standard_a,
    standard_ratings_a,
)
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.tried import Tried, number_doubt
from reportgen.interconnection.wording import amps, digits_to_tell_apart, lower

LABEL_PHOTO = "Take a photo of the label inside the door of the {}; it names the busbar's rating, make and model."
MAIN_PHOTO = "Take a photo of the number on the main breaker's handle in the {}; where it has lugs, of the breaker that feeds it."
POSITION_PHOTO = ("Take a photo of all breakers in the {}, door open, cover on, that shows where the {} sits from the main breaker, and "
                  "whether two neighbouring spaces are free at the far end.")
LIST_PHOTO = "Take photos of all breakers in the {}, cover on, on which every number on a handle can be read."


@dataclass(frozen=True)
class Busbar:
    """One busbar and what feeds it. Currents are continuous outputs [A], before the factor of 1.25."""

    name: str                           # "main panel"
    number: int                         # 1: the panel that takes the array
    edition: int
    busbar_a: float | None
    device_a: float | None              # the device that protects the busbar, M
    fed_from: str | None                # "end", "centre"; None: not said, taken as an end
    position: str | None                # of the new breaker, or of the breaker of the feeder that brings the array
    existing_a: tuple[float, ...]       # sources at this panel or below it that count
    existing_positions: tuple[str | None, ...]   # of those on this very busbar
    new_a: float | None                 # the new inverters together; None where no size is known
    load_breakers_a: tuple[float, ...] | None
    source_breakers_a: tuple[float, ...]         # existing source breakers on this busbar
    feeder_breaker_a: float | None      # the breaker of the feeder that brings the array; number 1: None
    dwelling: bool                      # of one or two families
    feed_through: str | None            # "none", "lugs", "lugs with a breaker"; None: not said
    joined_by_feed_through: bool        # the array comes in through those lugs
    conditions: tuple[str, ...]         # whatever the rule
    far_end_conditions: tuple[str, ...]   # of rules that need an end of the busbar
    supply: str = "the main breaker"    # where the grid's power comes onto the busbar, in words

    @property
    def comes_in_by(self) -> str:
        return "solar breaker" if self.number == 1 else "feeder's breaker"

    @property
    def has_feed_through(self) -> bool:
        return self.feed_through in ("lugs", "lugs with a breaker")

    @property
    def lugs_without_a_rule(self) -> bool:
        """Feed-through lugs for which the edition holds no rule, or one that is disputed."""
        return self.has_feed_through and (self.feed_through == "lugs" or not has_clause("feed_through", self.edition))

    @property
    def device_too_large(self) -> bool:
        return None not in (self.busbar_a, self.device_a) and self.busbar_a < self.device_a - TOLERANCE_A


def open_rules(bus: Busbar) -> tuple[BusbarRule, ...]:
    """The rules that are shown for this busbar, those with the fewest conditions first."""
    away = "rule_120" if bus.fed_from == "centre" else "centre_fed"
    return tuple(rule for rule in busbar_rules() if rule.key != away)


def try_busbar(bus: Busbar, rule: str | None = None) -> tuple[Tried, ...]:
    """Every rule on one busbar, or the one named; rules of a panel that is fed the other way are left out."""
    rules = open_rules(bus) if rule in (None, "feed_through") else (busbar_rule(rule),)
    return tuple(try_rule(bus, one) for one in rules)


def best_of(tried: tuple[Tried, ...]) -> Tried:
    """The rule that decides for the busbar: the most generous that fits, else one that cannot say, else the nearest."""
    fitting = [t for t in tried if t.check.verdict == FITS]
    if fitting:
        return max(fitting, key=lambda t: t.largest_a)
    asked = [t for t in tried if t.check.verdict == CANNOT_SAY and not _list_is_missing(t)]
    if asked:
        return max(asked, key=lambda t: t.largest_a if t.largest_a is not None else -1.0)
    failing = [t for t in tried if t.check.verdict == DOES_NOT_FIT]
    if not failing:
        return tried[0]
    return max(failing, key=lambda t: (t.largest_a or 0.0, t.check.margin_a.value if t.check.margin_a else -math.inf))


def largest_of(tried: tuple[Tried, ...]) -> Tried | None:
    """The rule that allows the largest output of new inverters; None where no rule can say."""
    known = [t for t in tried if t.largest_a is not None]
    most = max(known, key=lambda t: t.largest_a, default=None)
    unknown = any(t.largest_a is None and not _list_is_missing(t) for t in tried)
    return None if most is None or unknown and most.largest_a < TOLERANCE_A else most


def try_rule(bus: Busbar, rule: BusbarRule) -> Tried:
    """One rule against one busbar; its verdict stands for the breaker where it is now."""
    missing, photos = _missing(bus, rule)
    alone_a = _sources_alone_a(bus, rule)
    if alone_a is not None and alone_a > rule.busbar_share * bus.busbar_a + TOLERANCE_A:
        full = f"{_alone_text(bus, alone_a)}: too much even without any load."
        return Tried(_check(bus, rule, DOES_NOT_FIT, full, None), None)
    if missing:
        return Tried(_check(bus, rule, CANNOT_SAY, missing, None), None, photos)
    total, limit = _total_a(bus, rule), rule.busbar_share * bus.busbar_a
    room = largest_output_a(bus, rule)
    may, words, photos = _stands(bus, rule)
    largest = room if may else 0.0 if may is False else None
    formula = f"0 A, since {words.partition(':')[0].removesuffix('.')}" if may is False else largest_formula(bus, rule)
    if bus.new_a is None:
        return Tried(_check(bus, rule, CANNOT_SAY, "No inverter size is known yet.", None), largest, photos,
                     formula=formula)
    if total is None:
        return Tried(_check(bus, rule, DOES_NOT_FIT, "No standard breaker is large enough for the new array.", None), largest,
                     formula=formula)
    margin = limit - total
    sentence = sum_sentence(bus, rule)
    figure = _margin_figure(bus, rule, margin)
    verdict = DOES_NOT_FIT if margin < -TOLERANCE_A or may is False else FITS if may else CANNOT_SAY
    if bus.lugs_without_a_rule:
        verdict = CANNOT_SAY
    if words and (margin >= -TOLERANCE_A or bus.lugs_without_a_rule):
        sentence += f" But {words}"
    elif may is False and bus.position == "beside the main" and bus.fed_from != "centre":
        sentence += f" Moving the {bus.comes_in_by.replace('solar ', '')} to the far end would not mend it."
    return Tried(_check(bus, rule, verdict, sentence, figure), largest, photos if verdict == CANNOT_SAY else (), limit, total,
                 formula)


def _missing(bus: Busbar, rule: BusbarRule) -> tuple[str, tuple[str, ...]]:
    """Why no sum is made, and what to find out; '' where every number is there."""
    if bus.device_too_large:
        return "The busbar is rated below its main breaker, so no sum is made.", ()
    if bus.busbar_a is None or bus.device_a is None:
        photos = tuple(text.format(bus.name) for value, text in ((bus.busbar_a, LABEL_PHOTO), (bus.device_a, MAIN_PHOTO))
                       if value is None)
        return "No sum is made without the busbar's rating and the main breaker's.", photos
    alone_a = _sources_alone_a(bus, rule)
    if alone_a is not None and abs(alone_a - rule.busbar_share * bus.busbar_a) <= TOLERANCE_A:
        return f"{_alone_text(bus, alone_a)}: it holds only where nothing else is on this busbar.", (LIST_PHOTO.format(bus.name),)
    if rule.counts == "all breakers" and bus.load_breakers_a is None:
        return "The breakers in this panel were not all listed, so they cannot be added up.", (LIST_PHOTO.format(bus.name),)
    if rule.counts == "all breakers" and bus.number > 1 and bus.feeder_breaker_a is None:
        return (f"The rating of the {bus.comes_in_by} is not known.", (LIST_PHOTO.format(bus.name),))
    return "", ()


def _sources_alone_a(bus: Busbar, rule: BusbarRule) -> float | None:
    """All source breakers together where the load breakers were not listed [A]; None under another rule or unknown facts."""
    if rule.counts != "all breakers" or bus.load_breakers_a is not None or bus.device_too_large:
        return None
    if None in (bus.busbar_a, bus.device_a, bus.new_a) or _new_breaker_a(bus) is None:
        return None
    return sum(bus.source_breakers_a) + _new_breaker_a(bus)


def _alone_text(bus: Busbar, alone_a: float) -> str:
    return f"The source breakers alone are {amps(alone_a)}, the busbar takes {amps(bus.busbar_a)}"


def _list_is_missing(tried: Tried) -> bool:
    """A list of breakers that nobody has written stops no other rule."""
    return tried.check.key == "all_breakers" and tried.check.margin_a is None and tried.largest_a is None


def _stands(bus: Busbar, rule: BusbarRule) -> tuple[bool | None, str, tuple[str, ...]]:
    """Whether the rule holds for this panel as it is: True, False, or None where that is not known; with the reason."""
    if not bus.lugs_without_a_rule:
        if bus.has_feed_through and rule.key == "centre_fed":
            return False, f"beside feed-through lugs this rule is not among those allowed ({cite('feed_through', bus.edition)}).", ()
        return _place_allows(bus, rule)
    asks = ("Ask the building office which rule it applies to a panel with feed-through lugs.",)
    if not has_clause("feed_through", bus.edition):
        return None, f"the panel passes its busbar on through lugs, for which edition {bus.edition} holds no rule.", asks
    return None, (f"the panel passes its busbar on through lugs without a breaker, and how {cite('feed_through', bus.edition)} "
                  "reads then is disputed."), asks


def _place_allows(bus: Busbar, rule: BusbarRule) -> tuple[bool | None, str, tuple[str, ...]]:
    if rule.position == "any":
        return True, "", ()
    if rule.position == "one end" and bus.fed_from != "centre":
        return False, "the panel is not fed at its centre.", ()
    if rule.position == "far end" and bus.fed_from == "centre":
        return False, "the panel is fed at its centre, where this rule does not hold.", ()
    if rule.position == "one end" and not bus.dwelling:
        return False, "the rule for panels fed at their centre holds in dwellings alone.", ()
    position = "far end" if bus.joined_by_feed_through else bus.position
    at = "far end" if rule.position == "far end" else "end"
    if position == "beside the main":
        moved = "it fits after moving to the far end." if rule.position == "far end" else "it fits after moving to one end."
        return False, (f"the {bus.comes_in_by.replace('solar ', '')} sits beside the main breaker, where this rule does not "
                       f"hold: it does not fit as installed; {moved}"), ()
    if position == "both ends":
        return False, "breakers would sit at both ends of the busbar, where this rule does not hold.", ()
    if any(place in ("beside the main", "between") for place in bus.existing_positions):
        return False, f"a source that is already there does not sit at the {at}, where this rule needs it.", ()
    if position is None:
        return None, f"nobody has said where the {bus.comes_in_by} sits, and this rule needs it at the {at}.", (
            POSITION_PHOTO.format(bus.name, bus.comes_in_by),)
    return True, "", ()


def conditions_of(rule: BusbarRule, bus: Busbar) -> tuple[str, ...]:
    """What must also hold under the rule and only the site shows, each clause with its edition."""
    load_calculation = cite("load_calculation", bus.edition)
    breaker = "The solar breaker" if bus.number == 1 else f"In the {bus.name}: the feeder's breaker, which brings the array's power,"
    return tuple(text.format(load_calculation=load_calculation, source_breaker=breaker, supply=bus.supply) for text in rule.conditions)


def _check(bus: Busbar, rule: BusbarRule, verdict: str, sentence: str, figure: Figure | None) -> Check:
    conditions = conditions_of(rule, bus)
    if rule.position != "any":
        conditions += bus.far_end_conditions
    clause = cite(rule.key, bus.edition)
    return Check(rule.key, rule.name, clause, verdict, sentence, figure, conditions + bus.conditions, bus.name, rule.formula,
                 number_doubt(clause))


def sum_sentence(bus: Busbar, rule: BusbarRule) -> str:
    """The sum with its numbers: '200 A + 1.25 × 32 A = 240 A, at most 1.2 × 200 A = 240 A: 0 A left.'"""
    total, limit = _total_a(bus, rule), rule.busbar_share * bus.busbar_a
    margin = limit - total
    digits = digits_to_tell_apart(margin)
    words = _limit_text(bus, rule) + (f" = {amps(limit)}" if rule.busbar_share != 1.0 else "")
    added = f"{_total_text(bus, rule, digits)} = {amps(total, digits)}"
    if margin >= -TOLERANCE_A:
        return f"{added}, at most {words}: {amps(max(margin, 0.0), digits)} left."
    return f"{added}, more than {words}: {amps(-margin, digits)} too much."


def largest_output_a(bus: Busbar, rule: BusbarRule) -> float:
    """Largest continuous output of new inverters under the rule's sum [A], wherever the breaker sits; never below zero."""
    limit = rule.busbar_share * bus.busbar_a
    if rule.counts == "device and sources":
        return max(0.0, (limit - bus.device_a) / factor("continuous_current") - sum(bus.existing_a))
    room = limit - sum(bus.load_breakers_a) - sum(bus.source_breakers_a)
    if bus.number > 1:
        return math.inf if room - bus.feeder_breaker_a >= -TOLERANCE_A else 0.0
    devices = [rating for rating in standard_ratings_a(bus.edition) if rating <= room + TOLERANCE_A]
    return devices[-1] / factor("continuous_current") if devices else 0.0


def largest_formula(bus: Busbar, rule: BusbarRule) -> str:
    """How `largest_output_a` comes about, numbers put in."""
    value = largest_output_a(bus, rule)
    by = f"{factor('continuous_current'):g}"
    if rule.counts == "all breakers":
        room = rule.busbar_share * bus.busbar_a - sum(bus.load_breakers_a) - sum(bus.source_breakers_a)
        if bus.number > 1:
            return (f"{amps(room)} of room against the feeder's breaker of {amps(bus.feeder_breaker_a)}: "
                    f"{'any current that it passes' if value else 'none'}")
        return (f"{amps(bus.busbar_a)} − {amps(sum(bus.load_breakers_a) + sum(bus.source_breakers_a))} = {amps(room)}; "
                f"largest standard breaker within it / {by} = {amps(value)}")
    top = f"({_limit_text(bus, rule)} − {amps(bus.device_a)}) / {by}"
    existing = "".join(f" − {amps(a)}" for a in bus.existing_a)
    exact = (rule.busbar_share * bus.busbar_a - bus.device_a) / factor("continuous_current") - sum(bus.existing_a)
    if exact < -TOLERANCE_A:
        return f"{top}{existing} = {amps(exact)}, below zero: none fits"
    return f"{top}{existing} = {amps(value)}"


def _new_breaker_a(bus: Busbar) -> float | None:
    if bus.number > 1:
        return bus.feeder_breaker_a
    return next_standard_a(factor("continuous_current") * bus.new_a, bus.edition)


def _total_a(bus: Busbar, rule: BusbarRule) -> float | None:
    if bus.new_a is None:
        return None
    if rule.counts == "device and sources":
        return bus.device_a + factor("continuous_current") * (sum(bus.existing_a) + bus.new_a)
    breaker = _new_breaker_a(bus)
    return None if breaker is None else sum(bus.load_breakers_a) + sum(bus.source_breakers_a) + breaker


def _limit_text(bus: Busbar, rule: BusbarRule) -> str:
    return amps(bus.busbar_a) if rule.busbar_share == 1.0 else f"{rule.busbar_share:g} × {amps(bus.busbar_a)}"


def _total_text(bus: Busbar, rule: BusbarRule, digits: int | None) -> str:
    if rule.counts == "all breakers":
        sources = "".join(f" + {amps(a)}" for a in (*bus.source_breakers_a, _new_breaker_a(bus)))
        return f"load breakers {amps(sum(bus.load_breakers_a))} + source breakers{sources.removeprefix(' +')}"
    parts = [amps(a, digits or 2) for a in (*bus.existing_a, bus.new_a)]   # 1.25 × 18.13 can be checked by hand
    inside = parts[0] if len(parts) == 1 else f"({' + '.join(parts)})"
    return f"{amps(bus.device_a)} + {factor('continuous_current'):g} × {inside}"


def _margin_figure(bus: Busbar, rule: BusbarRule, margin: float) -> Figure:
    digits = digits_to_tell_apart(margin)
    key = f"{rule.key}_margin_a" if bus.number == 1 else f"panel_{bus.number}_{rule.key}_margin_a"
    where = "" if bus.number == 1 else f", {bus.name}"
    return Figure(f"interconnection.{key}", f"Left under the {lower(rule.name)}{where}", margin, "A",
                  formula=f"{_limit_text(bus, rule)} − ({_total_text(bus, rule, digits)}) = {amps(margin, digits)}",
                  sources=(cite(rule.key, bus.edition),))
