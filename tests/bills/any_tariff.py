"""Any tariff that the full form can say, and hours of a household and an array, for tests of what holds for all of them."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from reportgen.describe.fields import MONTHS
from reportgen.describe.tariff import Tariff
from tests.bills.billed import full

TWO_SEASONS = [{"name": "summer", "begins": "June 10", "ends": "September 30"},
               {"name": "winter", "begins": "October 1", "ends": "June 9"}]
WINDOWS = {
    "one": None,
    "two": [{"name": "on-peak", "days": "weekdays", "hours": ["15-20"]}, {"name": "off-peak"}],
    "three": [{"name": "on-peak", "hours": ["16-21"]}, {"name": "night", "hours": ["22-6"]}, {"name": "rest"}],
}
SUMMER_ONLY = [{"name": "on-peak", "seasons": ["summer"], "days": "weekdays", "hours": ["12-18"]}, {"name": "off-peak"}]


def _money(low: float, high: float, digits: int = 2):
    return st.floats(low, high).map(lambda value: round(value, digits))


PRICE = _money(0.0, 0.5, 4)


@st.composite
def tariffs(draw, export_rules=None) -> Tariff:
    """A tariff in full form; export_rules: a strategy of rules instead of any."""
    seasons = draw(st.sampled_from([None, TWO_SEASONS]))
    windows = draw(st.sampled_from([*WINDOWS.values(), *([SUMMER_ONLY] if seasons else [])]))
    lines = ["Customer charge", "Energy"]
    said = {"fixed": [{"price": draw(_money(0, 40)), "per": draw(st.sampled_from(["month", "day"]))}],
            "energy": [draw(_energy("Energy", seasons, windows))]}
    for name in ("Rider", "Delivery"):
        if draw(st.booleans()):
            said["energy"].append({"name": name, "price_per_kwh": draw(_money(-0.03, 0.1, 4)),
                                   "counts": draw(st.sampled_from(["net", "delivered"]))})
            lines.append(name)
    if draw(st.booleans()):
        said["demand"] = [draw(_demand(seasons))]
        lines.append("Demand")
    if draw(st.booleans()):
        said["array"] = [{"price_per_kw": draw(_money(0, 2)), "rating": draw(st.sampled_from(["DC", "AC"]))}]
        lines.append("Charge on the array")
    if draw(st.booleans()):
        said["minimum"] = {"price": draw(_money(0, 60)), "covers": draw(st.sampled_from(["energy", "everything"])),
                           "unused_credit": draw(st.sampled_from(["kept", "lost"]))}
        lines.append("Minimum charge")
    said["taxes"] = draw(_taxes(lines))
    rule = draw(export_rules if export_rules is not None else rules(seasons, windows))
    return full(seasons=seasons, windows=windows, read_day=draw(st.sampled_from([None, 12])), export_rule=rule, **said)


def _pairs(seasons, windows):
    for season in [s["name"] for s in seasons] if seasons else [None]:
        for window in windows or [{"name": None}]:
            if not window.get("seasons") or season in window["seasons"]:
                yield {key: value for key, value in (("season", season), ("window", window["name"])) if value}


@st.composite
def _energy(draw, name, seasons, windows):
    kind = draw(st.sampled_from(["one price", "by season and window", "blocks"]))
    if kind == "one price":
        return {"name": name, "price_per_kwh": draw(PRICE)}
    if kind == "by season and window":
        return {"name": name, "prices": [{**pair, "price_per_kwh": draw(PRICE)} for pair in _pairs(seasons, windows)]}
    per = draw(st.sampled_from(["month", "day"]))
    first = draw(st.integers(50, 400)) / (1 if per == "month" else 30)
    blocks = [{"up_to_kwh": round(first, 1), "price_per_kwh": draw(PRICE)},
              {"up_to_kwh": round(2.5 * first, 1), "price_per_kwh": draw(PRICE)}, {"price_per_kwh": draw(PRICE)}]
    by_season = [{"season": season["name"]} for season in seasons] if seasons and draw(st.booleans()) else [{}]
    return {"name": name, "blocks_per": per, "prices": [{**where, "blocks": blocks} for where in by_season]}


@st.composite
def _demand(draw, seasons):
    charge = {"rounded_to": draw(st.sampled_from(["nothing", "tenth of a kW", "whole kW"]))}
    if seasons and draw(st.booleans()):
        charge["prices"] = [{"season": s["name"], "price_per_kw": draw(_money(0, 12))} for s in seasons]
    else:
        charge["price_per_kw"] = draw(_money(0, 12))
    if draw(st.booleans()):
        charge["windows"] = [{"days": draw(st.sampled_from(["every day", "weekdays"])), "hours": ["7-12", "17-21"]}]
    if draw(st.booleans()):
        charge |= {"ratchet_percent": draw(_money(10, 100, 0)), "ratchet_periods": draw(st.integers(1, 24))}
    return charge


@st.composite
def _taxes(draw, lines):
    made = []
    if draw(st.booleans()):
        made.append({"name": "Levy", "per_kwh": draw(_money(0, 0.02, 4)), "counts": draw(st.sampled_from(["net", "delivered"]))})
    if draw(st.booleans()):
        made.append({"name": "Fee", "percent": draw(_money(0, 20)), "before_credits": draw(st.booleans()),
                     "lines": draw(st.lists(st.sampled_from(lines), min_size=1, unique=True))})
    if draw(st.booleans()):
        made.append({"name": "Sales tax", "percent": draw(_money(0, 20)), "before_credits": draw(st.booleans())})
    return made


@st.composite
def rules(draw, seasons=None, windows=None, lasting: bool = True):
    """Any export rule; with `lasting` some of them are followed by another one."""
    rule = {"rule": draw(st.sampled_from(["one-to-one", "net billing", "buy-all sell-all", "none"]))}
    if rule["rule"] == "one-to-one":
        rule["bank"] = draw(st.sampled_from(["kWh", "money"]))
        if rule["bank"] == "kWh":
            rule["buckets"] = draw(st.sampled_from(["pooled", "by window"]))
    if rule["rule"] != "none":
        rule |= draw(_reset(rule.get("bank") == "kWh"))
        if rule.get("bank") != "kWh":
            rule["credit_pays"] = draw(st.sampled_from(["energy", "all but fixed", "everything"]))
    if rule["rule"] in ("net billing", "buy-all sell-all"):
        how = draw(st.sampled_from(["price_per_kwh", "prices", "prices_by_month_and_hour"]))
        if how == "price_per_kwh":
            rule[how] = draw(_money(-0.02, 0.5, 4))
        elif how == "prices":
            rule[how] = [{**pair, "price_per_kwh": draw(PRICE)} for pair in _pairs(seasons, windows)]
        else:
            low, high = draw(PRICE), draw(PRICE)
            rule[how] = [[low if (month + hour) % 3 else high for hour in range(24)] for month in range(12)]
    if lasting and draw(st.booleans()):
        rule |= {"ends": "2031-12-31", "then": draw(rules(seasons, windows, lasting=False))}
    return rule


@st.composite
def _reset(draw, in_kwh: bool):
    resets = draw(st.sampled_from(["never", "yearly", "monthly"]))
    made = {"resets": resets}
    if resets == "yearly":
        made["reset_month"] = draw(st.sampled_from(MONTHS))
    if resets != "never" and draw(st.booleans()):
        made["leftover"] = "paid"
        if in_kwh:
            made["leftover_price_per_kwh"] = draw(_money(0, 0.1, 3))
    return made


def household_hours(seed: int, year_kwh: float) -> np.ndarray:
    """8,760 ragged hours of use, most of it in the evening."""
    hours = np.random.default_rng(seed).gamma(1.2, size=8760) * np.tile(np.r_[np.full(16, 0.6), np.full(8, 1.8)], 365)
    return year_kwh * hours / hours.sum()


def array_hours(seed: int, year_kwh: float) -> np.ndarray:
    """8,760 hours of an array under passing clouds."""
    day = np.maximum(np.sin((np.arange(24) - 5.5) / 13.0 * np.pi), 0.0) * ((np.arange(24) > 5) & (np.arange(24) < 19))
    season = np.repeat(1.0 - 0.45 * np.cos(2 * np.pi * np.arange(365) / 365), 24)
    hours = np.tile(day, 365) * season * np.random.default_rng(seed).uniform(0.1, 1.0, 8760)
    return year_kwh * hours / hours.sum()
