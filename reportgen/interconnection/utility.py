"""What the utility will look at, and how long it may take: from a row that the house file names, else "ask the utility".

Source: tables/utility_review.csv. The rows were read on public pages and are old; each says from when.
"""

from __future__ import annotations

from reportgen.describe.models import House
from reportgen.describe.review_rules import ReviewRules, known_review_rules
from reportgen.figures import Figure, show, show_input
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check, UtilityReview

OLD = "Such rules change often; this row is from {as_of} and was read on {seen_on} in {checked}. Ask the utility what holds today."
NO_RUNNING = "The array must not run with the grid before the utility's written permission to operate."
METER = ("Many utilities change the meter for one that counts both ways (common practice, no source). Ask whether they do, how "
         "long it takes and who pays.")
WHERE = "the utility"


def utility_review(house: House, inverter_kw: float | None, year_kwh: float | None) -> UtilityReview:
    """Class, steps and days; size caps as checks; what delays it.

    inverter_kw: power of the new inverters [kW AC]; year_kwh: the array's output in a year [kWh]. A review row named for a
    house outside the United States is not used: its rows are United States rules.
    """
    utility = house.electrical.utility
    rules = known_review_rules()[utility.review_rules] if utility.review_rules and house.place.in_us else None
    name = utility.name or ("the utility" if house.place.in_us else "the grid operator")
    sentences = (*_class_sentences(name, rules), _steps(rules), NO_RUNNING, METER, _outdoor_disconnect(house, name),
                 *([f"What is written here about {name} was read: {utility.read_on}."] if utility.read_on else []))
    checks = (*_class_check(rules, inverter_kw), _cap_kw(house, rules, inverter_kw), _cap_share(house, rules, year_kwh))
    return UtilityReview(name, sentences, checks, _delays(house), _source(rules))


def _class_sentences(name: str, rules: ReviewRules | None) -> tuple[str, ...]:
    if rules is None:
        ask = f"Which size class the array falls into, what is looked at and how many days it takes: ask {name}."
        return (f"{ask} The house file names no review rules, so none are assumed.",)
    limit = f", up to {show_input(rules.size_limit_kw, 'kW')}" if rules.size_limit_kw and rules.limit_is == "class" else ""
    kind = f"class: {rules.review_class}{limit}" if rules.limit_is == "class" else f"a limit on {rules.review_class}"
    found = [f"Review rules named by the house file: {rules.jurisdiction}; {kind}."]
    if rules.screens:
        found.append(f"What is looked at: {rules.screens}.")
    if rules.note:
        found.append(f"Note: {rules.note}.")
    found.append(OLD.format(as_of=_when(rules), seen_on=rules.seen_on, checked=rules.checked))
    return tuple(found)


def _when(rules: ReviewRules) -> str:
    return "a page without a date" if "not dated" in rules.as_of else rules.as_of


def _days(days: float | None) -> str:
    return f" within {days:g} business days" if days else ""


def _steps(rules: ReviewRules | None) -> str:
    """The usual steps, with days only where the row gives them."""
    acknowledged, complete, screened = ((rules.acknowledge_days, rules.complete_days, rules.review_days) if rules
                                        else (None, None, None))
    steps = ["application", f"word that it arrived{_days(acknowledged)}", f"word that it is complete{_days(complete)}",
             f"review{_days(screened)}", "building", "a certificate that it is finished",
             "perhaps an inspection or a test with a witness", "the meter", "written permission to operate"]
    unknown = "" if any((acknowledged, complete, screened)) else " How many days each takes: ask."
    return f"Usual steps: {', '.join(steps)}.{unknown}"


def _outdoor_disconnect(house: House, name: str) -> str:
    needed = house.electrical.utility.needs_outdoor_disconnect
    if needed is None:
        return f"Some utilities want a disconnect outdoors that their crew can lock. Ask whether {name} does."
    if needed:
        return f"By the house file {name} wants a disconnect outdoors that its crew can lock; plan its place and its cost."
    return f"By the house file {name} wants no disconnect outdoors for its crew. The building inspector may still want one."


def _delays(house: House) -> tuple[str, ...]:
    shares = house.electrical.utility.shares_transformer
    transformer = {
        True: "Several houses hang on this transformer: with more arrays on it a larger one can be needed, sometimes at the "
              "customer's cost. Ask before signing.",
        False: "This house has a transformer of its own by the house file; an old one can still be too small. Ask.",
        None: "Ask whether several houses share the transformer: a larger one can be needed, sometimes at the customer's cost.",
    }[shares]
    return ("An incomplete application: the clock often starts only when it is complete.", transformer,
            "Work on the main breaker, a new panel or the service: the utility must switch the house off and on again.",
            "The building inspection: the utility often waits for its result.")


def _row_caution(rules: ReviewRules | None) -> str:
    return "" if rules is None else OLD.format(as_of=_when(rules), seen_on=rules.seen_on, checked=rules.checked)


def _class_check(rules: ReviewRules | None, inverter_kw: float | None) -> tuple[Check, ...]:
    if rules is None or rules.size_limit_kw is None or rules.limit_is != "class":
        return ()
    name, limit = f"Size of the class, {rules.review_class}", rules.size_limit_kw
    return (_at_most("utility_class", name, _clause(rules), inverter_kw, limit, "kW", "ask the seller for the inverter's data "
                     "sheet", "Above it another class with a longer review holds.", _row_caution(rules)),)


def _cap_kw(house: House, rules: ReviewRules | None, inverter_kw: float | None) -> Check:
    cap, key, name = house.electrical.utility.size_cap_kw, "utility_cap_kw", "Largest inverter the utility takes"
    own = cap is not None
    if not own and rules and rules.limit_is == "cap":
        cap = rules.size_limit_kw
    if cap is None:
        return _not_checked(key, name, "whether there is a largest size in kW")
    return _at_most(key, name, _said(house) if own else _clause(rules), inverter_kw, cap, "kW",
                    "ask the seller for the inverter's data sheet", "Above it the utility asks for more study or says no.",
                    "" if own else _row_caution(rules))


def _cap_share(house: House, rules: ReviewRules | None, year_kwh: float | None) -> Check:
    cap, key, name = house.electrical.utility.size_cap_percent_of_use, "utility_cap_percent", "Yearly output against past use"
    own = cap is not None
    if not own and rules and rules.cap_percent is not None:
        if rules.cap_of != "average yearly use":
            return _not_checked(key, name, f"what is meant by at most {rules.cap_percent:g} % of {rules.cap_of}, as the row "
                                "for this place has it", _clause(rules), _row_caution(rules))
        cap = rules.cap_percent
    if cap is None:
        return _not_checked(key, name, "whether the array's yearly output has a cap against past use")
    share = None if year_kwh is None else 100.0 * year_kwh / house.use.year_kwh
    sums = "" if share is None else (f"{show(year_kwh, 'kWh')} / {show(house.use.year_kwh, 'kWh')} = {show(share, '%')}; ")
    return _at_most(key, name, _said(house) if own else _clause(rules), share, cap, "%", "the array's yearly output is not known",
                    "The utility decides by its own sums and the use on its own bills.", "" if own else _row_caution(rules), sums)


def _at_most(key: str, name: str, clause: str, found: float | None, most: float, unit: str, ask: str, more: str, caution: str,
             sums: str = "") -> Check:
    formula = f"at most {show_input(most, unit)}"
    if found is None:
        return Check(key, name, clause, CANNOT_SAY, f"{formula[0].upper()}{formula[1:]}; {ask}.", None, (), WHERE, formula, caution)
    left = most - found
    verdict = FITS if left >= -1e-9 else DOES_NOT_FIT
    rest = f"{show(left, unit)} left" if verdict == FITS else f"{show(-left, unit)} too much"
    margin = Figure(f"interconnection.{key}_left", f"{name}: what is left", left, unit,
                    formula=f"{sums}{show_input(most, unit)} − {show(found, unit)} = {show(left, unit)}", sources=(clause,))
    return Check(key, name, clause, verdict, f"{sums}{show(found, unit)}, {formula}: {rest}.", margin, (more,), WHERE, formula,
                 caution)


def _not_checked(key: str, name: str, ask: str, clause: str = "", caution: str = "") -> Check:
    return Check(key, name, clause, CANNOT_SAY, f"Not checked. Ask the utility {ask}.", None, (), WHERE, "", caution)


def _clause(rules: ReviewRules) -> str:
    return f"{rules.jurisdiction} ({rules.as_of})"


def _said(house: House) -> str:
    utility = house.electrical.utility
    read = f"read: {utility.read_on}" if utility.read_on else "when it was read is not said"
    return f"the rule of {utility.name or 'the utility'} as the house file has it; {read}"


def _source(rules: ReviewRules | None) -> str:
    if rules is None:
        return "steps: federal small-generator procedures of 2005, as an example; the rest is common practice, no source"
    return f"{rules.source} (read on {rules.seen_on}, {rules.checked}); the rest is common practice, no source"
