"""A tariff as its sheet says it: seasons, windows, charges and the rule for what is sent out.

Two forms. The short one, for a plan with one price: price_per_kwh, fixed_per_month and export. The full one lists
charges under fixed, energy, demand, array, minimum and taxes, and the rule under export_rule. `describe.tariff_checks`
checks both, and `describe.tariff_rules.in_full` turns the short one into the full one, so that the bill knows one form.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator
from pydantic_core import PydanticKnownError

from reportgen.describe import tariff_checks
from reportgen.describe.fields import MONTHS, Day, Money, Percent, Section, ShortText, raise_placed
from reportgen.describe.tariff_days import HOURS_PATTERN, MONTH_DAY_PATTERN, day_of_year, hours_of

Month = Literal[MONTHS]  # type: ignore[valid-type]
NOT_SAID = object()


def _month_day(text: str) -> str:
    day_of_year(text)
    return text


def _hours(text: str) -> str:
    hours_of(text)
    return text


def _said(value):
    """In the form that was begun this key is needed: the same error as for any needed key."""
    if value is NOT_SAID:
        raise PydanticKnownError("missing")
    return value


MonthDay = Annotated[str, Field(pattern=MONTH_DAY_PATTERN), AfterValidator(_month_day)]
Hours = Annotated[str, Field(pattern=HOURS_PATTERN), AfterValidator(_hours)]
Days = Literal["every day", "weekdays", "weekends", "weekends and holidays", "weekdays and holidays"]
SignedPrice = Annotated[float, Field(ge=-1_000_000_000, le=1_000_000_000)]


class Season(Section):
    """Days of the year with prices of their own. Entries of one name are one season."""
    name: ShortText
    """What the sheet calls it, for example summer; entries of one name are one season."""
    begins: MonthDay
    """First day, such as June 1; the year is one of 365 days."""
    ends: MonthDay
    """Last day, such as September 30; it may lie in the next year."""


class Holidays(Section):
    """Days that count as holidays, by name, as the calendar of that country knows them."""
    country: Annotated[str, Field(pattern="^[A-Z]{2}$")]
    """Two-letter country code, in quotes."""
    state: ShortText | None = None
    """State or province code, such as "WI", where its calendar is meant; a name unknown there is sought in the others."""
    names: Annotated[list[ShortText], Field(min_length=1, max_length=30)]
    """Names of the holidays, in English, such as Labor Day."""
    celebrated: bool = True
    """Whether the day on which a holiday of a weekend is celebrated counts too, such as the Monday after."""


class Window(Section):
    """Hours that have a price of their own. Every hour of every day belongs to exactly one window."""
    name: ShortText
    """What the sheet calls it, for example on-peak; entries of one name are one window."""
    seasons: Annotated[list[ShortText], Field(min_length=1, max_length=12)] | None = None
    """Seasons in which it holds; every season where missing."""
    days: Days = "every day"
    """Days on which it holds. Weekdays are Monday to Friday without the holidays; say which days the holidays go with."""
    hours: Annotated[list[Hours], Field(min_length=1, max_length=12)] | None = None
    """Hours of the clock, such as "16-21" or "22-6", which is 22-24 and 0-6 of each day; missing: all that no other takes."""


class Block(Section):
    up_to_kwh: Annotated[float, Field(gt=0, le=1_000_000)] | None = None
    """Where this block ends, counted from the first kWh of the bill (or of a day, times the days); missing: no end."""
    price_per_kwh: SignedPrice
    """Price of each kWh in this block."""


class EnergyPrice(Section):
    season: ShortText | None = None
    """Season in which it holds; every season where missing."""
    window: ShortText | None = None
    """Window in which it holds; every window where missing."""
    price_per_kwh: SignedPrice | None = None
    """Price of each kWh."""
    blocks: Annotated[list[Block], Field(min_length=1, max_length=12)] | None = None
    """Prices that change with the kWh this entry counts, all windows together where it names none."""


class FixedCharge(Section):
    name: ShortText = "Customer charge"
    """The line on the bill."""
    price: Money
    """What is due."""
    per: Literal["month", "day"] = "month"
    """For each billing period, or for each day of it."""


class EnergyCharge(Section):
    name: ShortText = "Energy"
    """The line on the bill."""
    counts: Literal["net", "delivered"] = "net"
    """net: kWh left after the export rule took off those sent out. delivered: each kWh taken from the grid."""
    price_per_kwh: SignedPrice | None = None
    """One price for all kWh."""
    prices: Annotated[list[EnergyPrice], Field(min_length=1, max_length=60)] | None = None
    """Prices by season, window or block; instead of price_per_kwh."""
    blocks_per: Literal["month", "day"] = "month"
    """Whether blocks hold for a billing period or for each day of it."""


class DemandPrice(Section):
    season: ShortText
    """Season in which it holds."""
    price_per_kw: Money
    """Price of each kW."""


class DemandWindow(Section):
    seasons: Annotated[list[ShortText], Field(min_length=1, max_length=12)] | None = None
    """Seasons in which these hours count."""
    days: Days = "every day"
    """Days on which they count."""
    hours: Annotated[list[Hours], Field(min_length=1, max_length=12)]
    """Hours of the clock, such as "6-9"; "22-6" is 22-24 and 0-6 of each day."""


class DemandCharge(Section):
    name: ShortText = "Demand"
    """The line on the bill."""
    price_per_kw: Money | None = None
    """Price of each kW of the highest demand in a billing period."""
    prices: Annotated[list[DemandPrice], Field(min_length=1, max_length=12)] | None = None
    """Prices by season, of which that of the highest hour counts; instead of price_per_kw."""
    windows: Annotated[list[DemandWindow], Field(min_length=1, max_length=12)] | None = None
    """Hours in which demand counts, a calendar apart from the windows of the energy; every hour where missing."""
    over: Literal["15 minutes", "30 minutes", "1 hour"] = "1 hour"
    """Time over which demand is averaged. Computed by the hour in any case, with a note where the real one is higher."""
    rounded_to: Literal["nothing", "tenth of a kW", "whole kW"] = "nothing"
    """How the highest demand is rounded, half upwards, after the ratchet and before it is charged."""
    ratchet_percent: Percent | None = None
    """Never less than this share of the highest demand of the months before."""
    ratchet_periods: Annotated[int, Field(ge=1, le=24)] = 11
    """How many billing periods back the ratchet looks."""


class ArrayCharge(Section):
    name: ShortText = "Charge on the array"
    """The line on the bill."""
    price_per_kw: Money
    """Price of each kW of the array, for each billing period."""
    rating: Literal["DC", "AC"]
    """Whether the modules' power or the inverter's counts."""


class Minimum(Section):
    name: ShortText = "Minimum charge"
    """The line on the bill."""
    price: Money
    """What is due at least."""
    per: Literal["month", "day"] = "month"
    """For each billing period, or for each day of it."""
    covers: Literal["energy", "everything"] = "everything"
    """Whether the energy lines, or all lines before taxes, must come to this much."""
    unused_credit: Literal["kept", "lost"] = "kept"
    """What happens to credit in money that the minimum leaves without use; kWh that were cancelled are used in any case."""


class Tax(Section):
    name: ShortText = "Tax"
    """The line on the bill."""
    percent: Annotated[float, Field(ge=0, le=100)] | None = None
    """Share of the lines it stands on."""
    per_kwh: SignedPrice | None = None
    """Or money for each kWh."""
    counts: Literal["net", "delivered"] = "delivered"
    """Which kWh a tax per kWh counts."""
    lines: Annotated[list[ShortText], Field(min_length=1, max_length=30)] | None = None
    """Names of the lines it stands on; where missing, all lines before the taxes. A tax may stand on one written above it."""
    before_credits: bool = False
    """Whether it stands on the lines before credit for what is sent out was taken off."""


class ExportPrice(Section):
    season: ShortText | None = None
    """Season in which it holds."""
    window: ShortText | None = None
    """Window in which it holds."""
    price_per_kwh: SignedPrice
    """What each kWh sent out earns."""


class ExportRule(Section):
    rule: Literal["one-to-one", "net billing", "buy-all sell-all", "none"]
    """What becomes of kWh that the house does not use at once."""
    netting: Literal["instant", "quarter hour", "hour"] = "hour"
    """Time within which sun is set against use; one-to-one then nets what is left over the bill. Computed by the hour."""
    bank: Literal["kWh", "money"] = "kWh"
    """one-to-one: whether the bank holds kWh, or money at the price of the window in which it was sent out."""
    buckets: Literal["pooled", "by window"] = "pooled"
    """one-to-one: whether kWh of one window count against any other (the dearest first), or within their own alone."""
    resets: Literal["never", "yearly", "monthly"] = "never"
    """When the bank, or money left over, is emptied."""
    reset_month: Month | None = None
    """The month at whose end a yearly bank is emptied."""
    leftover: Literal["lost", "paid"] = "lost"
    """What becomes of what is left at that time."""
    leftover_price_per_kwh: SignedPrice | None = None
    """A bank of kWh: what each kWh left is paid with."""
    price_per_kwh: SignedPrice | None = None
    """net billing and buy-all: what each kWh earns."""
    prices: Annotated[list[ExportPrice], Field(min_length=1, max_length=60)] | None = None
    """The same by season and window."""
    prices_by_month_and_hour: Annotated[list[Annotated[list[SignedPrice], Field(min_length=24, max_length=24)]],
                                        Field(min_length=12, max_length=12)] | None = None
    """The same as twelve rows, January first, of 24 prices each."""
    credit_pays: Literal["energy", "all but fixed", "everything"] = "energy"
    """Which lines the money earned may pay, in their order. energy: those that count net kWh; taxes only with everything."""


class LastingExportRule(ExportRule):
    ends: Day | None = None
    """Last day on which an array keeps this rule."""
    then: ExportRule | None = None
    """The rule after that day; where that day is past, it holds from the start."""


class Tariff(Section):
    """What power costs. Short form: price_per_kwh, fixed_per_month and export. Full form: energy, export_rule and more."""
    name: ShortText | None = None
    """The plan's name on the bill."""
    source: ShortText | None = None
    """Where the prices were read: the bill, the utility's sheet."""
    read_on: Day | None = None
    """The day the prices were read."""
    read_day: Annotated[int, Field(ge=1, le=28)] | None = None
    """Day of the month with which a new bill begins, because the meter is read then; calendar months where missing."""
    open_to_solar: bool = True
    """Whether a house with an array may stay on this plan."""
    price_per_kwh: Annotated[Money | None, BeforeValidator(_said)] = None
    """What one more kWh from the grid costs, all riders and taxes in it."""
    fixed_per_month: Annotated[Money | None, BeforeValidator(_said)] = None
    """What is due each month however little is used."""
    export: Annotated[Literal["one-to-one", "net billing"] | None, BeforeValidator(_said)] = None
    """one-to-one: each kWh sent out cancels one kWh taken, in the month or banked. net billing: by the hour, at a price."""
    reset_month: Month | None = None
    """one-to-one: the bank of kWh is emptied at the end of this month; leave out where it never is."""
    leftover_price_per_kwh: Money | None = None
    """one-to-one: what the utility pays for each kWh left in the bank at the reset; nothing where left out."""
    export_price_per_kwh: Money | None = None
    """net billing: what each kWh sent out earns."""
    seasons: Annotated[list[Season], Field(min_length=1, max_length=12)] | None = None
    """Full form: seasons, which together fill the year; one where missing."""
    holidays: Holidays | None = None
    """Full form: days that count as holidays; none where missing."""
    windows: Annotated[list[Window], Field(min_length=1, max_length=24)] | None = None
    """Full form: hours with prices of their own; one window where missing."""
    fixed: Annotated[list[FixedCharge], Field(max_length=12)] | None = None
    """Full form: fixed charges."""
    energy: Annotated[Annotated[list[EnergyCharge], Field(min_length=1, max_length=24)] | None, BeforeValidator(_said)] = None
    """Full form: charges for each kWh: supply, delivery, riders, charges that sun power sent out can't lower."""
    demand: Annotated[list[DemandCharge], Field(max_length=6)] | None = None
    """Full form: charges for the highest demand."""
    array: Annotated[list[ArrayCharge], Field(max_length=6)] | None = None
    """Full form: charges on the array's own power."""
    minimum: Minimum | None = None
    """Full form: the least that is due."""
    taxes: Annotated[list[Tax], Field(max_length=12)] | None = None
    """Full form: taxes and fees, each on the lines it names, in this order."""
    export_rule: Annotated[LastingExportRule | None, BeforeValidator(_said)] = None
    """Full form: what is sent out, and what it is worth."""

    @model_validator(mode="before")
    @classmethod
    def _mark_what_is_needed(cls, said):
        if not isinstance(said, dict):
            return said
        given = {key for key, value in said.items() if value is not None}
        needed = tariff_checks.needed_keys(given)
        return {**said, **{key: NOT_SAID for key in needed if key not in given}}

    @model_validator(mode="after")
    def _check(self):
        raise_placed(self, list(tariff_checks.problems(self)))
        return self
