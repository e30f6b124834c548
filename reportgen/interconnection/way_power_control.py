"""A listed power control system: its setpoint in place of the sum of ratings, on every busbar and feeder."""

from __future__ import annotations

from reportgen.figures import Figure
from reportgen.interconnection.ampacity import ampacity
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, has_clause
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check, Way
from reportgen.interconnection.way_parts import Question, make_way, panel_label
from reportgen.interconnection.wording import amps

DECIDES = "the maker's instructions, the inspector and a licensed electrician"
CHANGE = "a listed power control system, set to a current that the busbar takes"
POSSIBLE = "Possible with a listed control system; the maker's instructions and the inspector decide."
CAUTION = ("It counts only where the system watches the main breaker and every source together; one that watches the "
           "array alone does not qualify. That the setpoint may reach the busbar's rating was read in one public "
           "thread.")
SETTING = "Only an electrician sets it, behind a cover or a password, and a label beside it names the setpoint."
CAUTIONS = (CAUTION, SETTING)
ASK = ("Ask the seller for the data sheet that names the listing (UL 1741 power control system, or UL 3141), for the "
       "current it would be set to, and whether it watches the main breaker too.")
PRICED = ("power control",)


def power_control(question: Question) -> Way:
    """Cannot say until the house names listed equipment and its setpoint; then setpoint against busbars and feeders."""
    array, edition = question.house.array, question.edition
    if not has_clause("control_setpoint", edition):
        return _way(question, DOES_NOT_FIT, f"The {edition} edition has no rule for such systems; the first is that of "
                                            "2020.",
                    f"NEC {edition}, Article 705")
    rules = ("control_setpoint", "control_management", "control_current")
    clause = "; ".join(cite(rule, edition) for rule in rules if has_clause(rule, edition))
    if not array.power_control_listed or array.power_control_setpoint_a is None:
        return _way(question, CANNOT_SAY, POSSIBLE, clause, photos=(ASK,))
    checks = _checks(question, array.power_control_setpoint_a, clause)
    worst = min(checks, key=lambda c: ((DOES_NOT_FIT, CANNOT_SAY, FITS).index(c.verdict),
                                       c.margin_a.value if c.margin_a else 0.0))
    reason = f"{worst.where[0].upper()}{worst.where[1:]}: {worst.sentence} {POSSIBLE}"
    photos = ("Take a photo of the label inside the panel's door. Ask an electrician for the size of the feeder's wires.",)
    return _way(question, worst.verdict, reason, clause, margin=worst.margin_a, checks=checks,
                photos=photos if worst.verdict == CANNOT_SAY else ())


def _checks(question: Question, setpoint_a: float, clause: str) -> tuple[Check, ...]:
    """Each busbar and each feeder of the path against the setpoint."""
    house, checks = question.house, []
    for index, panel in enumerate(house.electrical.chain):
        busbar_a, label = None if panel.main == "split bus" else panel.busbar_a, panel_label(house, index)
        checks.append(_check(f"control_busbar_{index + 1}", label, "busbar", setpoint_a, busbar_a, clause))
        if panel.feeder is not None:
            carried = ampacity(panel.feeder, question.edition, panel.feeder.breaker_a).a
            where = f"feeder of {label}"
            checks.append(_check(f"control_feeder_{index + 1}", where, "feeder", setpoint_a, carried, clause))
    return tuple(checks)


def _check(key: str, where: str, what: str, setpoint_a: float, limit_a: float | None, clause: str) -> Check:
    name, formula = f"Setpoint on the {what}", f"setpoint ≤ {'busbar' if what == 'busbar' else 'feeder ampacity'}"
    words = {"where": where, "formula": formula, "caution": CAUTION}
    if limit_a is None:
        return Check(key, name, clause, CANNOT_SAY, f"Not known what the {what} takes.", None, CAUTIONS, **words)
    margin = limit_a - setpoint_a
    verdict = FITS if margin >= -TOLERANCE_A else DOES_NOT_FIT
    sentence = (f"setpoint {amps(setpoint_a)}, at most {amps(limit_a, 1)}: {amps(max(margin, 0.0), 1)} "
                "left." if verdict == FITS else
                f"setpoint {amps(setpoint_a)}, more than {amps(limit_a, 1)}: {amps(-margin, 1)} too much.")
    figure = Figure(f"interconnection.{key}_margin_a", f"Left under the setpoint, {where}", margin, "A",
                    formula=f"{amps(limit_a, 1)} − {amps(setpoint_a)} = {amps(margin, 1)}", sources=(clause,))
    return Check(key, name, clause, verdict, sentence, figure, CAUTIONS, **words)


def _way(question: Question, verdict: str, reason: str, clause: str, *, margin: Figure | None = None,
         checks: tuple[Check, ...] = (), photos: tuple[str, ...] = ()) -> Way:
    return make_way(question, "power_control", verdict, reason, clause, change=CHANGE, decides=DECIDES, priced=PRICED,
                    margin=margin, checks=checks, conditions=CAUTIONS, photos=photos)
