"""A split busbar: the lower part can be added up; the upper part, with up to six mains, only an engineer can rate."""

from __future__ import annotations

from dataclasses import replace

from reportgen.describe.electrical import Panel
from reportgen.interconnection.busbar import Busbar, try_rule
from reportgen.interconnection.code_tables import busbar_rule, cite, factor, has_clause
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, Check
from reportgen.interconnection.tried import Tried, number_doubt
from reportgen.interconnection.wording import amps

UPPER = ("The upper part of a split busbar has up to six mains and no single device that protects it. Nothing here can say what it "
         "carries: the rule for busbars of several ratings asks for a study under an engineer's supervision.")
SHORT = "The upper part of the split busbar cannot be rated by sums; its check under the busbar says why."
AGE = "Split-bus panels are old. Have the panel's age and condition looked at before anything is added to it."
PHOTO = "Take a photo of the label inside the door of the {} and, cover on, of all breakers; an engineer rates the upper part."


def try_split_bus(bus: Busbar, panel: Panel) -> tuple[Tried, ...]:
    """The lower busbar's own sum, then the panel as a whole, which cannot be judged."""
    lower_bus = replace(bus, busbar_a=panel.lower_busbar_a, device_a=panel.lower_breaker_a, name=f"lower busbar of the {bus.name}")
    lower = tuple(try_rule(lower_bus, busbar_rule(key)) for key in ("sum_rule", "rule_120"))
    clause = cite("multiple_ampacity", bus.edition)
    conditions = [AGE]
    if has_clause("single_enclosure", bus.edition):
        conditions.append(f"Several mains in one enclosure are no longer built ({cite('single_enclosure', bus.edition)}); an old "
                          "set may stay, a new one may not be put in.")
    fails = all(t.check.verdict == DOES_NOT_FIT for t in lower)
    sentence = f"The lower busbar alone does not take it. {UPPER}" if fails else f"{UPPER}{_lower_text(lower_bus, lower)}"
    whole = Check("split_bus", "Split busbar as a whole", clause, DOES_NOT_FIT if fails else CANNOT_SAY, sentence, None,
                  tuple(conditions), bus.name, "", number_doubt(clause))
    photos = (PHOTO.format(bus.name), *(p for t in lower for p in t.photos))
    return (*lower, Tried(whole, 0.0 if fails else None, tuple(dict.fromkeys(photos))))


def _lower_text(bus: Busbar, lower: tuple[Tried, ...]) -> str:
    """What the lower busbar leaves by its own sum, for the engineer who rates the rest."""
    known = [t.largest_a for t in lower if t.largest_a is not None]
    if not known:
        return ""
    most = max(known)
    counted = factor("continuous_current") * (most + sum(bus.existing_a))
    return (f" By sums alone the lower busbar leaves {amps(counted)} for 1.25 × all sources, so {amps(most)} of new output at "
            "most; that settles nothing for the upper part.")
