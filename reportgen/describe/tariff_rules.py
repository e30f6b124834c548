"""A tariff in its full form, and its prices looked up by season and window."""

from __future__ import annotations

from datetime import date

from reportgen.describe import tariff_days as days
from reportgen.describe.tariff import (
    Block,
    EnergyCharge,
    ExportRule,
    FixedCharge,
    LastingExportRule,
    Season,
    Tariff,
    Window,
)
from reportgen.describe.tariff_checks import SHORT


def is_short(tariff: Tariff) -> bool:
    return tariff.price_per_kwh is not None


def in_full(tariff: Tariff) -> Tariff:
    """The tariff in its full form; a full one comes back as it is, with what may be left out written down.

    Always there: seasons (one, all year), windows (one, all hours), the lists fixed, energy, demand, array and taxes,
    and export_rule. minimum and holidays stay None where there are none.
    """
    changed = _from_short(tariff) if is_short(tariff) else {}
    for key in ("fixed", "demand", "array", "taxes"):
        if key not in changed and getattr(tariff, key) is None:
            changed[key] = []
    if tariff.seasons is None:
        changed["seasons"] = [Season(name=days.ALL_YEAR, begins="January 1", ends="December 31")]
    if tariff.windows is None:
        changed["windows"] = [Window(name=days.ALL_HOURS)]
    return tariff.model_copy(update=changed) if changed else tariff


def _from_short(tariff: Tariff) -> dict:
    changed: dict = dict.fromkeys(SHORT)
    changed["fixed"] = [FixedCharge(name="Fixed charge", price=tariff.fixed_per_month)]
    changed["energy"] = [EnergyCharge(price_per_kwh=tariff.price_per_kwh)]
    if tariff.export == "net billing":
        rule = LastingExportRule(rule="net billing", price_per_kwh=tariff.export_price_per_kwh)
    else:
        rule = LastingExportRule(rule="one-to-one")
        if tariff.reset_month is not None:
            rule = rule.model_copy(update={"resets": "yearly", "reset_month": tariff.reset_month})
        if tariff.leftover_price_per_kwh:
            rule = rule.model_copy(update={"leftover": "paid", "leftover_price_per_kwh": tariff.leftover_price_per_kwh})
    changed["export_rule"] = rule
    return changed


def energy_blocks(tariff: Tariff, charge: EnergyCharge) -> dict[tuple[str, str], tuple[Block, ...]]:
    """(season, window) -> blocks of this charge, the last one without end; one price is one block without end."""
    if charge.prices is None:
        return dict.fromkeys(days.pairs(tariff), (Block(price_per_kwh=charge.price_per_kwh),))
    found = {}
    for pair in days.pairs(tariff):
        (price,) = days.holding(charge.prices, *pair)
        found[pair] = tuple(price.blocks) if price.blocks else (Block(price_per_kwh=price.price_per_kwh),)
    return found


def rule_on(tariff: Tariff, day: date) -> ExportRule:
    """The export rule of a full form that holds on this day: after `ends` the one that follows."""
    rule = tariff.export_rule
    return rule.then if rule.ends is not None and day > rule.ends else rule


def largest_energy_price(tariff: Tariff) -> tuple[float, tuple]:
    """The dearest kWh of any single line, in either form, and the path below the tariff of what says so."""
    if is_short(tariff):
        return tariff.price_per_kwh, ("price_per_kwh",)
    return max((block.price_per_kwh, ("energy", i)) for i, charge in enumerate(tariff.energy)
               for blocks in energy_blocks(tariff, charge).values() for block in blocks)
