"""What the house uses: a year, twelve months, bills with read dates or a meter file; and what will change."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.bill_periods import year_of_bills
from reportgen.describe.fields import Day, Section, TwelveKwh, at_most_one, exactly_one
from reportgen.describe.meter_file import MeterFile
from reportgen.describe.tariff import Hours, Month

Kwh = Annotated[float, Field(ge=0, le=1_000_000)]
SignedKwh = Annotated[float, Field(ge=-1_000_000, le=1_000_000)]
Shape = Literal["evening peak", "home by day", "European household"]
SHORTEST_BILL_DAYS, LONGEST_BILL_DAYS = 2, 400


class Bill(Section):
    begins: Day
    """The bill's first day."""
    ends: Day
    """Its last day, which is included; the next bill begins on the day after."""
    kwh: SignedKwh
    """kWh of the bill; below zero only where an existing array sent out more than was taken."""

    @model_validator(mode="after")
    def _check(self):
        days = (self.ends - self.begins).days + 1
        if days < SHORTEST_BILL_DAYS:
            raise ValueError(f"the bill that begins on {self.begins} ends on {self.ends}; a later day is expected")
        if days > LONGEST_BILL_DAYS:
            raise ValueError(f"the bill that begins on {self.begins} ends on {self.ends}, which is {days} days later; look at both "
                             "years again")
        return self


class ExistingSolar(Section):
    """An array that was there while the kWh above were counted. Use = kWh taken + kWh made − kWh sent out."""
    counts: Literal["import only", "net", "whole use"] | None = None
    """What the kWh are. import only: taken from the grid. net: taken less sent out. whole use: nothing to be added."""
    generated_kwh: Kwh | None = None
    """What that array made in the year, from its inverter or its meter."""
    generated_monthly_kwh: TwelveKwh | None = None
    """The same for each month, January first."""
    exported_kwh: Kwh | None = None
    """What was sent out in the year; needed where the kWh are import only."""
    exported_monthly_kwh: TwelveKwh | None = None
    """The same for each month, January first."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "generated_kwh", "generated_monthly_kwh")
        at_most_one(self, "exported_kwh", "exported_monthly_kwh")
        made, sent = self.year_generated_kwh, self.year_exported_kwh
        if made is not None and sent is not None and sent > made:
            raise ValueError(f"the array sent out {sent:,.0f} kWh but made only {made:,.0f} kWh; read both again, for the same year")
        if self.generated_monthly_kwh is not None and self.exported_monthly_kwh is not None:
            for month, (each_made, each_sent) in enumerate(zip(self.generated_monthly_kwh, self.exported_monthly_kwh, strict=True)):
                if each_sent > each_made:
                    raise ValueError(f"in month {month + 1} the array sent out {each_sent:,.0f} kWh but made only {each_made:,.0f} kWh; "
                                     "read both again")
        return self

    @property
    def year_generated_kwh(self) -> float | None:
        return _year(self.generated_kwh, self.generated_monthly_kwh)

    @property
    def year_exported_kwh(self) -> float | None:
        return _year(self.exported_kwh, self.exported_monthly_kwh)

    @property
    def year_added_kwh(self) -> float:
        """What is added to the kWh counted to find the year's use (a meter file aside, which knows what was sent out)."""
        if self.counts == "whole use":
            return 0.0
        return self.year_generated_kwh - (self.year_exported_kwh or 0.0)


def _year(year: float | None, months: list[float] | None) -> float | None:
    return sum(months) if months is not None else year


class Change(Section):
    what: Literal["electric car", "heat pump", "water heater", "another person", "other", "somebody leaves"]
    """What comes or goes."""
    begins: Day
    """First day on which it counts; the bill without the sun grows from then on too."""
    kwh_per_year: Annotated[float, Field(ge=-100_000, le=100_000)]
    """kWh that it adds in a full year; below zero where somebody leaves or something is given up."""
    hours: Annotated[list[Hours], Field(min_length=1, max_length=12)] | None = None
    """Hours of the clock in which it runs, such as "22-6"; its usual hours where missing."""
    months: Annotated[list[Month], Field(min_length=1, max_length=12)] | None = None
    """Months in which it runs; all of them where missing."""

    @model_validator(mode="after")
    def _check(self):
        if self.kwh_per_year == 0:
            raise ValueError(f"{self.what} with 0 kWh a year changes nothing; write its kWh, or leave the entry out")
        if self.what == "somebody leaves" and self.kwh_per_year > 0:
            raise ValueError(f"somebody leaves, yet {self.kwh_per_year:g} kWh a year are added; write {-self.kwh_per_year:g}")
        if self.what not in ("somebody leaves", "other") and self.kwh_per_year < 0:
            raise ValueError(f"{self.what} takes power, so kwh_per_year can't be {self.kwh_per_year:g}; for what goes away write "
                             "what: other")
        return self


class Use(Section):
    annual_kwh: Annotated[float, Field(ge=100, le=1_000_000)] | None = None
    """Electricity used in a year, kWh."""
    monthly_kwh: TwelveKwh | None = None
    """Electricity used in each month, kWh, January first."""
    bills: Annotated[list[Bill], Field(min_length=1, max_length=60)] | None = None
    """Bills with the days on which the meter was read, at least eleven months of them; the latest twelve months count."""
    meter_file: MeterFile | None = None
    """The meter's own readings by the hour or finer, as the utility hands them out."""
    shape: Shape | None = None
    """How the day's use is spread; decides only how much sun is used at once. A meter file needs none."""
    heating: Literal["electric", "heat pump", "other"] | None = None
    """What warms the house; where it is electric, its share of the use follows the cold of the place."""
    cooling: bool | None = None
    """Whether air conditioning cools the house; its share of the use follows the heat of the place."""
    existing_solar: ExistingSolar | None = None
    """An array that was there already while these kWh were counted."""
    changes: Annotated[list[Change], Field(max_length=12)] = Field(default_factory=list)
    """What is known to come or to go: a car, a heat pump, a person."""

    @model_validator(mode="after")
    def _check(self):
        exactly_one(self, "annual_kwh", "monthly_kwh", "bills", "meter_file")
        if self.monthly_kwh is not None and sum(self.monthly_kwh) <= 0:
            raise ValueError("a year of use can't be zero in every month")
        if self.bills is not None:
            self._check_bills()
        if self.meter_file is not None:
            for key in ("shape", "heating", "cooling"):
                if getattr(self, key) is not None:
                    raise ValueError(f"{key} says how hours are modelled, but the meter file has measured them; leave {key} out")
        if self.existing_solar is not None:
            self._check_existing_solar()
        return self

    def _check_bills(self):
        below = next((bill for bill in self.bills if bill.kwh < 0), None)
        if below is not None and (self.existing_solar is None or self.existing_solar.counts != "net"):
            raise ValueError(f"the bill that begins on {below.begins} has {below.kwh:g} kWh; below zero needs existing_solar with "
                             "counts: net")
        if year_of_bills(self.bills).kwh <= 0 and self.existing_solar is None:
            raise ValueError("a year of use can't be zero in every bill")

    def _check_existing_solar(self):
        solar, of_meter = self.existing_solar, self.meter_file is not None
        if of_meter and (solar.counts is not None or solar.year_exported_kwh is not None):
            raise ValueError("a meter file says itself what was taken and what was sent out; leave counts and the exported kWh out "
                             "of existing_solar")
        if not of_meter and solar.counts is None:
            raise ValueError("existing_solar needs counts: whether the kWh are import only, net or the whole use")
        if solar.counts == "whole use":
            if solar.year_generated_kwh is not None or solar.year_exported_kwh is not None:
                raise ValueError("with counts: whole use nothing is added to the kWh; leave what was generated and exported out of "
                                 "existing_solar")
            return
        if solar.year_generated_kwh is None:
            raise ValueError("what the house uses can't be known from these kWh alone: the existing array's own kWh are needed; "
                             "write generated_kwh or generated_monthly_kwh from its inverter or meter")
        if solar.counts == "import only" and solar.year_exported_kwh is None:
            raise ValueError("what the house uses can't be known: with counts: import only also write exported_kwh or "
                             "exported_monthly_kwh, the kWh sent out")
        if solar.counts == "net" and solar.year_exported_kwh is not None:
            raise ValueError("with counts: net the kWh sent out are taken off already; leave the exported kWh out")
        if not of_meter and self.year_kwh <= 0:
            raise ValueError("kWh counted and kWh made by the existing array together leave no use; read both again, for the same "
                             "year")

    @property
    def year_kwh(self) -> float:
        """The house's own use in a year as counted, without coming changes [kWh]. ValueError where only a meter knows it."""
        if self.meter_file is not None:
            raise ValueError("the year's use stands in the meter file, which has not been read")
        if self.annual_kwh is not None:
            counted = self.annual_kwh
        else:
            counted = sum(self.monthly_kwh) if self.monthly_kwh is not None else year_of_bills(self.bills).kwh
        return counted + (self.existing_solar.year_added_kwh if self.existing_solar is not None else 0.0)

    def scaled(self, factor: float) -> Use:
        """The same household using `factor` times as much; coming changes stay as they are."""
        def times(values):
            return None if values is None else [factor * kwh for kwh in values]
        changed = {"monthly_kwh": times(self.monthly_kwh)}
        if self.annual_kwh is not None:
            changed["annual_kwh"] = factor * self.annual_kwh
        if self.bills is not None:
            changed["bills"] = [bill.model_copy(update={"kwh": factor * bill.kwh}) for bill in self.bills]
        if self.existing_solar is not None:   # use is a sum of what was taken and what that array made: both grow
            solar = self.existing_solar
            changed["existing_solar"] = solar.model_copy(update={
                key: times(value) if isinstance(value, list) else factor * value for key in (
                    "generated_kwh", "generated_monthly_kwh", "exported_kwh", "exported_monthly_kwh")
                if (value := getattr(solar, key)) is not None})
        return self.model_copy(update=changed)
