"""What may be wrong with a tariff beyond the limits of single values: each thing with its place and one sentence.

Called from the validator of `describe.tariff.Tariff`; knows that model by its attributes alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from reportgen.describe import tariff_days as days
from reportgen.describe.tariff_holidays import unknown_in
from reportgen.describe.tariff_prices_check import blocks_in_order, each_pair_once, quoted, unknown_name
from reportgen.describe.tariff_rule_check import rule_problems

Found = Iterator[tuple[tuple, str]]      # (path below the tariff, sentence)

SHORT_NEEDED = ("price_per_kwh", "fixed_per_month", "export")
SHORT = (*SHORT_NEEDED, "reset_month", "leftover_price_per_kwh", "export_price_per_kwh")
FULL_NEEDED = ("energy", "export_rule")
FULL = (*FULL_NEEDED, "seasons", "holidays", "windows", "fixed", "demand", "array", "minimum", "taxes")


def needed_keys(given: set) -> tuple[str, ...]:
    """The keys without which the form that was begun says nothing; none where both forms are mixed, or neither begun."""
    short, full = bool(given.intersection(SHORT)), bool(given.intersection(FULL))
    return () if short == full else SHORT_NEEDED if short else FULL_NEEDED


def problems(tariff) -> Found:
    """All that is wrong, as (path below the tariff, sentence)."""
    short = [key for key in SHORT if getattr(tariff, key) is not None]
    full = [key for key in FULL if getattr(tariff, key) is not None]
    if short and full:
        yield (), (f"{short[0]} belongs to the short form of a tariff and {full[0]} to the full one; keep price_per_kwh, "
                   "fixed_per_month and export alone, or write every charge under fixed and energy, and export_rule")
    elif short:
        yield from _short(tariff)
    elif full:
        yield from _full(tariff)
    else:
        yield (), ("no price is said; write price_per_kwh, fixed_per_month and export, or the charges of the sheet under fixed "
                   "and energy, and export_rule")


def _short(tariff) -> Found:
    if tariff.export == "net billing" and tariff.export_price_per_kwh is None:
        yield (), "net billing needs export_price_per_kwh"
    elif tariff.export == "net billing" and tariff.reset_month is not None:
        yield (), "reset_month belongs to one-to-one; net billing keeps no bank of kWh"
    elif tariff.export == "one-to-one" and tariff.export_price_per_kwh is not None:
        yield (), "export_price_per_kwh belongs to net billing; one-to-one pays leftover_price_per_kwh"
    elif tariff.leftover_price_per_kwh is not None and tariff.reset_month is None:
        yield (), "leftover_price_per_kwh needs the reset_month in which it is paid, and export: one-to-one"


def _full(tariff) -> Found:
    calendar = [*_seasons(tariff), *_holidays(tariff), *_windows(tariff)]
    yield from calendar
    for i, charge in enumerate(tariff.energy):
        yield from _energy(tariff, charge, ("energy", i), bool(calendar))
    for i, charge in enumerate(tariff.demand or ()):
        yield from _demand(tariff, charge, ("demand", i), bool(calendar))
    yield from _lines_and_taxes(tariff)
    yield from rule_problems(tariff, tariff.export_rule, ("export_rule",), bool(calendar))
    if (tariff.export_rule.ends is None) != (tariff.export_rule.then is None):
        yield ("export_rule",), "ends and then belong together: the last day of this rule, and the rule that follows it"
    if tariff.export_rule.then is not None:
        yield from rule_problems(tariff, tariff.export_rule.then, ("export_rule", "then"), bool(calendar))


def _seasons(tariff) -> Found:
    held = days.season_of_days(tariff)
    if bare := [day for day in range(days.YEAR) if not held[day]]:
        yield ("seasons",), f"no season holds on {days.days_text(bare)}; seasons must fill the year"
    for a, b in sorted({tuple(entries[:2]) for entries in held if len(entries) > 1}):
        both = [day for day in range(days.YEAR) if a in held[day] and b in held[day]]
        yield ("seasons", b), (f'the seasons {quoted(tariff.seasons[a].name)} and {quoted(tariff.seasons[b].name)} both hold on '
                               f"{days.days_text(both)}; each day belongs to one")


def _holidays(tariff) -> Found:
    said = tariff.holidays
    if said is not None:
        for sentence in unknown_in(said.country, said.state, tuple(said.names)):
            yield ("holidays",), sentence
    if said is None:
        named = [(("windows", i), w) for i, w in enumerate(tariff.windows or ())]
        named += [(("demand", i, "windows", j), w) for i, charge in enumerate(tariff.demand or ())
                  for j, w in enumerate(charge.windows or ())]
        for at, window in named:
            if "holidays" in window.days:
                yield (*at, "days"), (f"{window.days} counts holidays, but the tariff names none; write holidays with country and "
                                      f"names, or days: {window.days.partition(' and ')[0]}")


def _windows(tariff) -> Found:
    if not tariff.windows:
        return
    unknown = False
    for i, window in enumerate(tariff.windows):
        for season in window.seasons or ():
            if season not in days.season_names(tariff) or not tariff.seasons:
                unknown = True
                yield ("windows", i, "seasons"), f"the window {quoted(window.name)}: {unknown_name('season', season, tariff)}"
    if unknown or list(_seasons(tariff)):
        return
    bare, both = [], {}
    for season in days.season_names(tariff):
        for kind in (days.WEEKDAY, days.WEEKEND, *((days.HOLIDAY,) if tariff.holidays else ())):
            held = days.windows_of_hours(tariff, season, kind)
            place = days.KINDS[kind] + (f" in {season}" if tariff.seasons else "")
            if free := [hour for hour in range(24) if not held[hour]]:
                bare.append(f"{place} {days.hours_text(free)}")
            for a, b in {tuple(entries[:2]) for entries in held if len(entries) > 1}:
                hours = days.hours_text(h for h in range(24) if a in held[h] and b in held[h])
                both.setdefault((a, b), []).append(f"{place} {hours}")
    if bare:
        yield ("windows",), (f"no window holds on {'; '.join(bare)}; every hour needs one, and a window without hours takes all that "
                             "no other takes")
    for (a, b), places in sorted(both.items()):
        yield ("windows", b), (f"the windows {quoted(tariff.windows[a].name)} and {quoted(tariff.windows[b].name)} both hold on "
                               f"{'; '.join(places)}; each hour belongs to one")


def _energy(tariff, charge, at: tuple, calendar_is_wrong: bool) -> Found:
    name = f"the charge {quoted(charge.name)}"
    if (charge.price_per_kwh is None) == (charge.prices is None):
        yield at, f"{name} needs one of price_per_kwh and prices"
    for i, price in enumerate(charge.prices or ()):
        if (price.price_per_kwh is None) == (price.blocks is None):
            yield (*at, "prices", i), f"{name} needs one of price_per_kwh and blocks here"
        elif price.blocks:
            yield from blocks_in_order(price.blocks, name, (*at, "prices", i, "blocks"))
    if charge.blocks_per == "day" and not any(price.blocks for price in charge.prices or ()):
        yield (*at, "blocks_per"), f"{name} has no blocks; leave blocks_per out"
    if charge.prices and not calendar_is_wrong:
        yield from each_pair_once(tariff, charge.prices, name, (*at, "prices"))


def _demand(tariff, charge, at: tuple, calendar_is_wrong: bool) -> Found:
    name = f"the charge {quoted(charge.name)}"
    if (charge.price_per_kw is None) == (charge.prices is None):
        yield at, f"{name} needs one of price_per_kw and prices"
    for i, window in enumerate(charge.windows or ()):
        for season in window.seasons or ():
            if season not in days.season_names(tariff) or not tariff.seasons:
                yield (*at, "windows", i, "seasons"), f"{name}: {unknown_name('season', season, tariff)}"
    if charge.ratchet_percent is None and charge.ratchet_periods != type(charge).model_fields["ratchet_periods"].default:
        yield (*at, "ratchet_periods"), f"{name}: ratchet_periods needs ratchet_percent"
    if charge.prices and not calendar_is_wrong:
        yield from each_pair_once(tariff, charge.prices, name, (*at, "prices"), with_windows=False)


def _lines_and_taxes(tariff) -> Found:
    lines = [((key, i), line.name) for key in ("fixed", "energy", "demand", "array")
             for i, line in enumerate(getattr(tariff, key) or ())]
    if tariff.minimum is not None:
        lines.append((("minimum",), tariff.minimum.name))
    lines += [(("taxes", i), tax.name) for i, tax in enumerate(tariff.taxes or ())]
    seen: set[str] = set()
    for at, name in lines:
        if name in seen:
            yield at, f"two lines are called {quoted(name)}; give each a name of its own"
        seen.add(name)
    before = [name for at, name in lines if at[0] != "taxes"]
    for i, tax in enumerate(tariff.taxes or ()):
        called = f"the tax {quoted(tax.name)}"
        if (tax.percent is None) == (tax.per_kwh is None):
            yield ("taxes", i), f"{called} needs one of percent and per_kwh"
        elif tax.per_kwh is not None and (tax.lines is not None or tax.before_credits):
            yield ("taxes", i), f"{called} is due per kWh; lines and before_credits belong to a tax in percent"
        elif tax.percent is not None and tax.counts != "delivered":
            yield ("taxes", i), f"{called} is a share in percent; counts belongs to a tax per kWh"
        for name in tax.lines or ():
            if name not in before:
                yield ("taxes", i, "lines"), (f"{called} stands on {quoted(name)}, which is no line above it; the lines are "
                                           f"{', '.join(before)}")
        before.append(tax.name)
