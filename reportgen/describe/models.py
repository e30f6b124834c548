"""The house file as strict models: what may be written, in which unit, and what each key means.

The docstring under a field is the sentence that editors show (JSON Schema), that `check` prints and that the
report uses. `None` means "not said"; `describe.assumptions` fills it openly or leaves it as not known.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from reportgen.describe.building import Building
from reportgen.describe.community import CommunityShare
from reportgen.describe.electrical import Electrical
from reportgen.describe.equipment import Array, Losses, check_inverter_faces
from reportgen.describe.fields import (
    Day,
    Money,
    Percent,
    Section,
    ShortText,
    at_most_one,
    raise_placed,
    to_tenths,
)
from reportgen.describe.offers import MOST_OFFERS, US_PRICE_PER_W_MIN, Offer, offer_problems
from reportgen.describe.own_incentives import OwnIncentives, check_own_incentives
from reportgen.describe.paying import Paying
from reportgen.describe.permission import Permission
from reportgen.describe.photos import Photo
from reportgen.describe.places_known import countries, is_time_zone
from reportgen.describe.roof import RoofFace
from reportgen.describe.shade import Horizon, Obstacle, check_horizon
from reportgen.describe.tariff import Tariff
from reportgen.describe.tariff_rules import largest_energy_price
from reportgen.describe.use import Use
from reportgen.describe.weather import Weather


class Place(Section):
    town: ShortText | None = None
    """Town and region as the report shows them. Not used to find the place: `draft` looks the place up."""
    latitude: Annotated[float, Field(ge=-90, le=90), AfterValidator(to_tenths)]
    """Degrees, north positive, rounded to 0.1 (about 10 km) so that no house is named."""
    longitude: Annotated[float, Field(ge=-180, le=180), AfterValidator(to_tenths)]
    """Degrees, east positive, rounded to 0.1."""
    country: Annotated[str, Field(pattern="^[A-Z]{2}$")]
    """Two-letter country code (ISO 3166), in quotes, for example "US"."""
    state: ShortText | None = None
    """State or region, as the report shows it; in the US its name or its two letters choose the state's incentives."""
    elevation_m: Annotated[float, Field(ge=-450, le=6000)] | None = None
    """Height above sea level in metres; looked up on a coarse map where missing."""
    time_zone: ShortText | None = None
    """IANA name, for example "America/New_York"; follows from the place where missing."""
    design_low_c: Annotated[float, Field(ge=-60, le=25)] | None = None
    """Extreme annual mean minimum air temperature, °C, which sets a string's highest voltage. Ask the building office."""
    design_high_c: Annotated[float, Field(ge=0, le=60)] | None = None
    """Hottest air of a usual summer, °C (2 % design dry bulb), which sets a string's lowest voltage and the roof's heat."""

    @model_validator(mode="after")
    def _check(self):
        if self.country not in countries():
            raise ValueError(f'"{self.country}" is no country code of ISO 3166; two letters are expected, for example "US" '
                             'or "GB"')
        if self.time_zone is not None and not is_time_zone(self.time_zone):
            raise ValueError(f'the time zone "{self.time_zone}" is not known; an IANA name is expected, for example '
                             '"America/New_York", or leave it out: it follows from the place')
        return self

    @property
    def in_us(self) -> bool:
        return self.country == "US"


class Payment(Section):
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")] | None = None
    """Three-letter currency code (ISO 4217). Needed outside the United States."""
    installed_price: Annotated[float, Field(gt=0, le=1_000_000_000)] | None = None
    """Price of the finished system, all taxes in it."""
    price_per_w: Annotated[float, Field(gt=0, le=1000)] | None = None
    """The same per watt DC."""
    upkeep_per_kw_year: Money | None = None
    """Cleaning, checks and small repairs, per kW and year, in today's money."""
    inverter_replacement: Money | None = None
    """Price of a new inverter, in today's money."""
    inverter_years: Annotated[int, Field(ge=1, le=40)] | None = None
    """Years that an inverter serves; it is bought anew each time they are over."""
    refit_per_module: Money | None = None
    """Price of lifting and refitting one module when the roof is renewed, in today's money."""
    price_growth_percent: Annotated[float, Field(ge=-10, le=15)] | None = None
    """Growth of the electricity price a year, nominal."""
    fixed_growth_percent: Annotated[float, Field(ge=-10, le=15)] | None = None
    """Growth of the fixed charges a year, nominal; as price_growth_percent where missing."""
    export_growth_percent: Annotated[float, Field(ge=-10, le=15)] | None = None
    """Growth of what a kWh sent out earns a year, nominal; as price_growth_percent where missing."""
    inflation_percent: Annotated[float, Field(ge=-5, le=20)] | None = None
    """Growth of all other prices a year."""
    discount_percent: Annotated[float, Field(ge=0, le=25)] | None = None
    """What money is worth a year, nominal: later money is marked down by it."""
    deposit_percent: Annotated[float, Field(ge=0, le=25)] | None = None
    """Interest on a low-risk deposit, before tax."""
    deposit_tax_percent: Percent | None = None
    """Share of that interest lost to tax."""
    federal_credit_percent: Percent | None = None
    """The US federal residential credit as the file's writer believes it; checked against the dated law."""
    federal_tax_owed_per_year: Money | None = None
    """Federal income tax owed a year, before withholding; the credit can never be more."""
    state_tax_owed_per_year: Money | None = None
    """State income tax owed a year, before withholding; a state's credit can never be more."""
    certificates_kept: bool | None = None
    """Whether you keep the certificates of your output; false: they are sold, and you may then not call your power solar."""
    certificate_price_per_mwh: Annotated[float, Field(ge=0, le=1000)] | None = None
    """What each certificate pays by the programme's page; goes before the report's table."""
    sales_tax_percent: Percent | None = None
    """Sales tax on the system."""
    sales_tax_exempt: bool | None = None
    """Whether the system is exempt from it; exempt only where you say so."""
    property_tax_percent: Percent | None = None
    """Property tax a year, of the value that the assessor adds."""
    property_tax_added_value: Money | None = None
    """What the assessor adds to the house's value for the array."""
    property_tax_exempt: bool | None = None
    """Whether the array is exempt from property tax; exempt only where you say so."""

    @model_validator(mode="after")
    def _check(self):
        at_most_one(self, "installed_price", "price_per_w")
        return self


INVERTER_REACH = 1.25          # data sheets round, and some units give less at 208 V
US_PRICE_PER_KWH_MAX = 2.0     # several times the dearest state; common practice, no source


class House(Section):
    name: ShortText
    """What the report calls this house. No address, no family name."""
    report_day: Day
    """The day the report speaks of. Nothing in it depends on today's date."""
    finish_day: Day | None = None
    """The day the system is finished; decides which dated incentives exist. Nothing is assumed without it."""
    place: Place
    roof: Annotated[list[RoofFace], Field(min_length=1, max_length=24)]
    """One entry for each plane that may carry modules."""
    horizon: Horizon | None = None
    """What cuts off the sky for every face: pairs [azimuth, altitude] in degrees, azimuth clockwise from true north."""
    obstacles: Annotated[list[Obstacle], Field(max_length=24)] = Field(default_factory=list)
    """Trees and buildings far enough away to stand alike for every face; near ones belong to their face."""
    use: Use
    tariff: Tariff
    """The prices: written here, or the name of a file under tariffs/ in the batch."""
    plans_with_solar: Annotated[list[Tariff], Field(min_length=1, max_length=4)] | None = None
    """Plans that an array may be billed under, each written here or by name; today's stays where missing."""
    array: Array = Array()
    losses: Losses = Losses()
    electrical: Electrical = Electrical()
    building: Building = Building()
    permission: Permission = Permission()
    photos: Annotated[list[Photo], Field(max_length=12)] = Field(default_factory=list)
    """Photos for the electrician's sheet; camera data is taken off, and nothing is shared unless you say so."""
    money: Payment = Payment()
    incentives: OwnIncentives = Field(default_factory=list)
    """Incentives of your state, utility or city, and certificates of an offer, each with its source and the day it was read."""
    paying: Paying = Paying()
    offers: Annotated[list[Offer], Field(max_length=MOST_OFFERS)] = Field(default_factory=list)
    """Offers in hand, each as written on its paper; the report sets them side by side."""
    other_measures: Annotated[list[ShortText], Field(max_length=12)] = Field(default_factory=list)
    """What else is thought of first, for example "insulate the attic"; the report names it and calculates nothing."""
    community_share: CommunityShare | None = None
    """A share in a community array on offer, set beside the roof."""
    show_emissions: bool = False
    """Whether the report says what emissions the array avoids."""
    grid_g_co2_per_kwh: Annotated[float, Field(ge=0, le=2000)] | None = None
    """Emissions of the grid's power, grams of CO2 per kWh; goes before the report's table."""
    grid_factor_source: ShortText | None = None
    """Where that factor stands, with its year."""
    weather: Weather = Weather()

    @model_validator(mode="after")
    def _check(self):
        counts = [face.module_count for face in self.roof if face.module_count is not None]
        if counts and sum(counts) == 0:
            raise ValueError("every module_count on the roof is 0; give at least one face a module, or leave them out")
        if counts and self.array.module_count is not None and self.array.module_count != sum(counts):
            raise ValueError(f"array.module_count says {self.array.module_count}, the roof faces together {sum(counts)}; "
                             "leave array.module_count out or make them agree")
        if self.money.installed_price is not None and self.array.array_kw is None and self.array.module_count is None and not counts:
            raise ValueError("money.installed_price needs the size it is for; write array.array_kw or array.module_count")
        check_inverter_faces(self.array, self.roof)
        check_horizon(self.horizon)
        check_own_incentives(self)
        self._check_inverter()
        self._check_plans()
        if (self.grid_g_co2_per_kwh is None) != (self.grid_factor_source is None):
            raise ValueError("grid_g_co2_per_kwh and grid_factor_source go together: a factor needs the page and the year it is from")
        self._check_slips()
        raise_placed(self, offer_problems(self.offers, self.place.in_us and self.money.currency in (None, "USD")))
        if not self.place.in_us:
            missing = [k for k, v in (("money.currency", self.money.currency),
                                      ("money.installed_price or money.price_per_w",
                                       self.money.installed_price or self.money.price_per_w)) if v is None]
            if missing:
                raise ValueError(f"outside the United States also write {' and '.join(missing)}: no price is assumed there")
        return self

    def _check_inverter(self):
        """Power and current of one inverter must belong together, or one of them was misread."""
        array, volts = self.array, self.electrical.service_v or 240
        if not self.place.in_us or array.inverter_kw is None or array.inverter_a is None:
            return
        ratio = array.inverter_a * volts / (array.inverter_kw * 1000.0)
        if not 1 / INVERTER_REACH <= ratio <= INVERTER_REACH:
            raise ValueError(f"array.inverter_a {array.inverter_a:g} A at {volts} V makes {array.inverter_a * volts / 1000:.3g} kW, "
                             f"but array.inverter_kw says {array.inverter_kw:g}; read both from the data sheet again, the panel "
                             "is checked with them")

    def _tariffs(self):
        yield ("tariff",), self.tariff
        for i, plan in enumerate(self.plans_with_solar or ()):
            yield ("plans_with_solar", i), plan

    def _check_plans(self):
        plans = self.plans_with_solar or ()
        found = [(("plans_with_solar", i), "open_to_solar is false here, so an array can't be billed under it; take this plan out")
                 for i, plan in enumerate(plans) if not plan.open_to_solar]
        if not self.tariff.open_to_solar and not plans:
            found.append((("tariff", "open_to_solar"),
                          "open_to_solar is false, so an array needs another plan; name it under plans_with_solar"))
        names = [plan.name for _, plan in self._tariffs()]
        if plans and (None in names or len(set(names)) < len(names)):
            said = ", ".join(name or "no name" for name in names)
            found.append((("plans_with_solar",), f"tariff and plans_with_solar need a name each, all different; found {said}"))
        raise_placed(self, found)

    def _check_slips(self):
        """Cents for dollars, or a decimal point for a thousands comma: in dollars the usual size is known."""
        if self.money.currency not in (None, "USD") or not self.place.in_us:
            return
        found = []
        for path, tariff in self._tariffs():
            price, below = largest_energy_price(tariff)
            if price > US_PRICE_PER_KWH_MAX:
                line = f'the line "{tariff.energy[below[1]].name}" has a kWh at {price:g}' if below[0] == "energy" else f"found {price:g}"
                found.append(((*path, *below), f"{line}; prices are in dollars and 0.148 is usual, so this looks like cents"))
        raise_placed(self, found)
        kw = self.array.array_kw or (self.array.module_count or 0) * (self.array.module_w or 400) / 1000.0
        if kw and self.money.installed_price is not None and self.money.installed_price < US_PRICE_PER_W_MIN * kw * 1000.0:
            raise ValueError(f"money.installed_price {self.money.installed_price:g} dollars for {kw:g} kW is under "
                             f"{US_PRICE_PER_W_MIN:g} dollars a watt; write thousands without a point or comma, for example 19400")

    def replaced(self, path: str, value) -> House:
        """A copy with one value changed. path: ``losses.dirt_percent``, ``roof.0.shade_percent``. Checks nothing again."""
        return _replaced(self, path.split("."), value)


def _replaced(node, keys: list[str], value):
    head, rest = keys[0], keys[1:]
    if isinstance(node, list):
        index = int(head)
        return [_replaced(v, rest, value) if i == index and rest else value if i == index else v for i, v in enumerate(node)]
    new = _replaced(getattr(node, head), rest, value) if rest else value
    return node.model_copy(update={head: new})
