"""Invented Assessments for the pictures' tests, built by hand to reach corners that a real chain rarely does."""

from __future__ import annotations

from decimal import Decimal
from types import SimpleNamespace

import numpy as np

from reportgen.assessment import YES, Answer, Assessment, Effect
from reportgen.bills.months import MONTH_OF_DAY, month_sums
from reportgen.bills.result import BillLine, Bills, MonthBill, UseYear, YearBill
from reportgen.climate.typical_year import HOURS, TypicalYear
from reportgen.describe.assumptions import complete
from reportgen.figures import Figure
from reportgen.interconnection.connect import connect
from reportgen.payback.result import CashCase, CashYear, Payback
from reportgen.production.result import LossStep, Production, Spread
from tests.houses import house

STEPS = (("Shade", 0.93), ("Reflection from the glass at a slant", 0.968), ("Dirt on the glass", 0.98),
         ("Snow on the modules", 1.0), ("Heat in the cells", 0.962), ("Modules that differ from each other", 0.99),
         ("Heat in the wires", 0.985), ("Drop in the first weeks", 0.985), ("Modules below their label", 0.995),
         ("Turning DC into AC", 0.965), ("Cut off at the inverter's limit", 0.999), ("Hours out of service", 0.99))
EFFECTS = (("Growth of the electricity price a year", "2.2 %", "1.6 %", "3.2 %", -2900, 5200),
           ("What money is worth to you a year", "4.4 %", "7 %", "3 %", -4100, 3600),
           ("Sunshine of the place", "as in embedded worldwide atlas", "11 % less", "11 % more", -3300, 3300),
           ("Shade on this roof face", "3 %", "0 %", "15 %", 900, -3500),
           ("Year in which the inverter is replaced", "15 year", "20 year", "10 year", 700, -800),
           ("How the modules sit", "close roof", "ground", "close roof", 600, 0),
           ("Dirt on the glass", "2 %", "0.5 %", "5 %", 400, -800),
           ("Nominal operating cell temperature", "45 °C", "42 °C", "48 °C", 150, -150),
           ("Air temperature of the place", "as in embedded worldwide atlas", "1.8 K warmer", "1.8 K cooler", -90, 90))
OLD_ARRAY = {"name": "old array in the garage", "breaker_a": 20, "output_a": 16}
MONITOR = {"name": "energy monitor", "kind": "monitoring", "breaker_a": 15}


def sample(*, year_kwh: float = 7120, use_kwh: float = 9100, currency: str = "USD", southern: bool = False,
           latitude: float | None = None, dark_months: tuple[int, ...] = (), price: float = 18_400,
           worth: float = 1_450,
           growth: tuple[float, float, float] = (0.75, 1.0, 1.3), net_billing: bool = False,
           steps=STEPS, effects=EFFECTS, worth_middle: float = 1_300, horizon: int = 25, windows: tuple[str, ...] = (),
           other_parts: bool = False, bank_kwh: float = 0.0, bank_money: float = 0.0, use_growth: float = 0.0,
           **electrical) -> Assessment:
    """One house. worth: what a middle year's output saves; growth: the share of it in the three cases.

    windows: energy is billed by these; other_parts: demand, minimum, taxes, a charge on the array; bank: the most in it.
    """
    lat = latitude if latitude is not None else (-33.4 if southern else 36.1)
    panel = {"busbar_a": 200, "main_breaker_a": 200, "edition": 2020, "source_position": "far end"} | electrical
    array = {"inverter_a": 32, "module_count": 18}
    described = complete(house(place={"latitude": lat}, electrical=panel, array=array))[0]
    sun = _sun(year_kwh, lat, dark_months)
    use = _use(use_kwh)
    production = Production(
        sun, month_sums(sun), _figure("kWh", year_kwh, 0.86, 1.13), _figure("kWh", year_kwh, 0.92, 1.08),
        _figure("kWh/kW", 1380), _figure("%", 79), (), _steps(year_kwh, steps), Spread((), 0.1, 0.06),
        68.0, 7.2, 6.0, ())
    bills = _bills(sun, use, net_billing, worth / max(year_kwh, 1e-9), currency, windows, other_parts, (bank_kwh, bank_money), use_growth)
    return Assessment(described, _year(lat), (), production, connect(described), bills,
                      _payback(currency, price, worth, growth, worth_middle, horizon),
                      Answer(YES, "", (), (), "yes"), _effects(effects, worth_middle), (), {})


def _figure(unit: str, value: float, low: float = 1.0, high: float = 1.0) -> Figure:
    return Figure(f"sample.{unit}", unit, value, unit, value * low, value * high)


def _year(latitude: float) -> TypicalYear:
    zeros = np.zeros(HOURS)
    return TypicalYear(latitude, -79.8, 250, -5, zeros, zeros, zeros, zeros, zeros, "invented year", (),
                       0.08, 0.05, 1.4)


def _sun(year_kwh: float, latitude: float, dark_months: tuple[int, ...]) -> np.ndarray:
    days = np.arange(365)
    season = np.cos(2 * np.pi * (days - 172) / 365) * np.sign(latitude)
    half_day_h = 6 + 1.5 * season
    hours = np.arange(24) + 0.5
    height = np.cos(np.pi / 2 * (hours[None, :] - 12.3) / half_day_h[:, None])
    clear = 0.55 + 0.45 * (days * 7 % 11) / 10
    inside = np.abs(hours[None, :] - 12.3) < half_day_h[:, None]
    shape = np.where(inside, height, 0.0) * (1 + 0.4 * season)[:, None] * clear[:, None]
    shape[np.isin(MONTH_OF_DAY + 1, dark_months)] = 0.0
    return (shape * year_kwh / shape.sum()).ravel()


def _use(year_kwh: float) -> np.ndarray:
    hours = np.arange(24)
    day = 0.6 + 0.5 * np.exp(-((hours - 7.5) / 1.6) ** 2) + 1.3 * np.exp(-((hours - 19) / 2.4) ** 2)
    shape = day[None, :] * (1 + 0.25 * np.cos(4 * np.pi * (np.arange(365) - 15) / 365))[:, None]
    return (shape * year_kwh / shape.sum()).ravel()


def _steps(year_kwh: float, steps) -> tuple[LossStep, ...]:
    level = year_kwh / float(np.prod([factor for _, factor in steps]))
    made = []
    for label, factor in steps:
        made.append(LossStep(label, label, factor, level, level * factor, "", ""))
        level *= factor
    return tuple(made)


def _bills(sun, use, net_billing: bool, price: float, currency: str, windows, other_parts: bool, bank, use_growth: float) -> Bills:
    used, given = month_sums(use), month_sums(sun)
    credit = given * price * 1.2 if net_billing else np.zeros(12)
    energy = used * price if net_billing else np.maximum(used - given, 0.0) * price
    before = _year_bill(used * price, np.zeros(12), windows, other_parts, (0.0, 0.0))
    after = _year_bill(energy, credit, windows, other_parts, bank)
    share = 100 * float(np.minimum(sun, use).sum()) / max(float(sun.sum()), 1e-9)
    years = tuple(UseYear(k, 9000.0 + k, float(before.total) * (1 + use_growth * k), float(after.total) * (1 + 2 * use_growth * k))
                  for k in range(1, 26)) if use_growth else ()
    return Bills(use, "evening peak", "", True, before, after, after, _figure(currency, 1), _figure("%", share),
                 _figure(currency, 144), (), changing_use=years)


def _year_bill(energy, credit, windows, other_parts: bool, bank) -> YearBill:
    months = []
    for i in range(12):
        amounts = [("fixed", "", 12.0), *(("energy", name, energy[i] / max(len(windows), 1)) for name in windows or ("",))]
        if other_parts:
            amounts += [("array", "", 3.0), ("demand", "", 0.4 * energy[i] + 5), ("minimum", "", 2.0), ("tax", "", 0.05 * energy[i])]
        lines = tuple(BillLine(kind, _cents(amount), kind, window) for kind, window, amount in (*amounts, ("credit", "", -credit[i])))
        left, gone = (1.0 - abs(i - 7) / 7, i == 11)
        months.append(MonthBill(i + 1, lines, sum((line.amount for line in lines), Decimal(0)), 0, 0, 0, bank[0] * max(left, 0.0),
                                bank[0] / 3 if gone else 0.0, _cents(bank[1] * max(left, 0.0))))
    return YearBill(tuple(months), sum((m.total for m in months), Decimal(0)))


def _cents(amount: float) -> Decimal:
    return Decimal(f"{amount:.2f}")


def _payback(currency, price, worth, growth, worth_middle, horizon) -> Payback:
    low, middle, high = (_case(name, price, worth * share, 1 + 0.02 * share, horizon)
                         for name, share in zip(("unfavourable", "middle", "favourable"), growth))
    value = Figure("sample.value", "Net present value", worth_middle, currency, worth_middle - 5000,
                   worth_middle + 6000)
    nothing = _figure(currency, 0)
    return Payback(horizon, currency, low, middle, high, "", nothing, value, nothing, nothing, nothing, nothing,
                   nothing, nothing, nothing, (), (), ())


def _case(name: str, price: float, saving: float, growth: float, horizon: int) -> CashCase:
    years, total = [CashYear(0, 0, 0, 0, 0, -price, 0, -price, -price, -price)], -price
    for year in range(1, horizon + 1):
        net = saving * growth ** year - (2200 if year == 15 and saving > 0 else 0)
        total += net
        years.append(CashYear(year, 0, 0, 0, 0, 0, 0, net, total, total))
    never = [y.year for y in years if y.cumulative < 0]
    back = None if total < 0 else max(never) + 1
    return CashCase(name, tuple(years), 0.0, None, back, None)


def _effects(effects, worth_middle: float) -> tuple[Effect, ...]:
    made = [Effect(label, label, text, low_text, high_text, (0, 0), (worth_middle + low, worth_middle + high),
                   (None, None), abs(high - low), "", "") for label, text, low_text, high_text, low, high in effects]
    return tuple(sorted(made, key=lambda e: -e.swing))


def not_judged() -> SimpleNamespace:
    """A connection outside the rules: nothing about it but that."""
    return SimpleNamespace(judged=False, busbar_a=200.0, main_breaker_a=200.0)
