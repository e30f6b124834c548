"""The electrical side of a house: its panels from the array to the meter, the service, and what was seen by eye.

A house with one panel writes that panel's keys straight under `electrical`; a house with several lists `panels`, the
one that takes the array first, the one nearest the meter last.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from reportgen.describe.conductor import Conductor, Feeder, Trunk
from reportgen.describe.demand import Demand
from reportgen.describe.fields import Money, Section, ShortText
from reportgen.describe.review_rules import known_review_rules

Amps = Annotated[float, Field(gt=0, le=4000)]
Kiloamps = Annotated[float, Field(gt=0, le=200)]
EDITION_YEARS = 3          # the Code comes out every three years; 2020 is one of them
SEEN = ("fuse box", "aluminum branch wiring", "scorching", "rust", "obsolete panel", "recalled panel",
        "doubled wires under one screw", "no room for a breaker", "water in the panel", "worn service drop", "nothing of these")
WAYS = ("breaker on the busbar", "move the breaker", "smaller main breaker", "supply side", "power control", "larger panel",
        "smaller inverter")


class SourceBreaker(Section):
    name: ShortText = "existing source"
    """What it feeds from, for example "old array in the garage"."""
    kind: Literal["solar", "battery", "generator", "monitoring"] = "solar"
    """A breaker that only feeds a monitoring device is no source of power."""
    breaker_a: Amps
    """Rating on the breaker's handle, A."""
    output_a: Amps | None = None
    """Continuous output current from the source's data sheet, A; 0.8 of the breaker where missing."""
    position: Literal["far end", "beside the main", "between"] | None = None
    """Where it sits on the busbar, seen from the main breaker."""
    interlocked: bool | None = None
    """A generator: whether a listed interlock or transfer switch holds it apart from the grid."""


class PanelFacts(Section):
    """What is read from one panel: its label, its main, its breakers."""

    busbar_a: Amps | None = None
    """Busbar rating from the panel's label, A. It is not the main breaker's number."""
    main: Literal["breaker", "lugs", "split bus"] | None = None
    """How power enters: through a main breaker of its own, through lugs, or a split busbar with up to six mains."""
    main_breaker_a: Amps | None = None
    """Rating on the main breaker's handle, A."""
    protected_by_a: Amps | None = None
    """Main lugs: the breaker upstream that protects this busbar, A, where no feeder says it."""
    fed_from: Literal["end", "centre"] | None = None
    """Whether the main breaker or lugs sit at one end of the busbar or in its middle."""
    source_position: Literal["far end", "beside the main", "both ends"] | None = None
    """Where the solar breaker would sit on the busbar, or the feeder's breaker, seen from the main breaker."""
    sources: list[SourceBreaker] = Field(default_factory=list)
    """Breakers already there that feed power in."""
    free_two_pole_spaces: Annotated[int, Field(ge=0, le=84)] | None = None
    """Free places for a two-pole breaker."""
    load_breakers_a: Annotated[list[Amps], Field(max_length=84)] | None = None
    """Every load breaker's rating, A, a two-pole breaker once; leave out where not all were read."""
    feed_through: Literal["none", "lugs", "lugs with a breaker"] | None = None
    """Lugs at the far end that pass the busbar on, and whether a breaker stands at the start of those wires."""
    feed_through_breaker_a: Amps | None = None
    """That breaker's rating, A."""
    array_on_feed_through: bool = False
    """Whether the array would join on the wires from the feed-through lugs."""
    feed_through_wires: Conductor | None = None
    """The wires from the feed-through lugs."""
    lower_busbar_a: Amps | None = None
    """Split busbar: rating of the lower part, which takes the array, A."""
    lower_breaker_a: Amps | None = None
    """Split busbar: the breaker that feeds the lower part, A."""
    short_circuit_rating_ka: Kiloamps | None = None
    """Short-circuit rating from the panel's label, kA."""

    @model_validator(mode="after")
    def _check_panel(self):
        if self.main == "lugs" and self.main_breaker_a is not None:
            raise ValueError("main: lugs means that there is no main breaker; write protected_by_a or the feeder's breaker_a "
                             "instead of main_breaker_a")
        if self.main != "split bus" and (self.lower_busbar_a is not None or self.lower_breaker_a is not None):
            raise ValueError('lower_busbar_a and lower_breaker_a belong to main: "split bus"')
        if self.feed_through_breaker_a is not None and self.feed_through != "lugs with a breaker":
            raise ValueError('feed_through_breaker_a belongs to feed_through: "lugs with a breaker"')
        return self


class Panel(PanelFacts):
    name: ShortText = "main panel"
    """What you call it, for example "garage subpanel"."""
    feeder: Feeder | None = None
    """The wires that bring power to this panel from the next one in the list."""


class WorkingSpace(Section):
    """The wall proposed for the inverter or the disconnect."""

    wall: ShortText = "the wall beside the panel"
    """Which wall."""
    depth_in: Annotated[float, Field(gt=0, le=400)]
    """Free depth in front of it, inches."""
    width_in: Annotated[float, Field(gt=0, le=400)]
    """Free width, inches."""
    height_in: Annotated[float, Field(gt=0, le=400)]
    """Free height from the floor, inches."""
    equipment_width_in: Annotated[float, Field(gt=0, le=200)] | None = None
    """Width of the equipment, inches, where it is more than 30."""
    is_bathroom: bool = False
    """Whether the wall stands in a bathroom."""


class Utility(Section):
    name: ShortText | None = None
    """The utility's name as the report shows it."""
    review_rules: Literal[tuple(known_review_rules())] | None = None  # type: ignore[valid-type]
    """Whose review rules hold, a key of tables/utility_review.csv; leave out where you do not know."""
    size_cap_kw: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Largest inverter that the utility lets a house connect without more study, kW AC."""
    size_cap_percent_of_use: Annotated[float, Field(gt=0, le=1000)] | None = None
    """Largest yearly output that the utility accepts, in percent of past yearly use."""
    needs_outdoor_disconnect: bool | None = None
    """Whether the utility asks for a disconnect outdoors that its crew can lock."""
    allows_supply_side: bool | None = None
    """Whether the utility lets an array be connected ahead of the main breaker."""
    shares_transformer: bool | None = None
    """Whether several houses hang on the same transformer."""
    read_on: ShortText | None = None
    """Where and when these were read."""


class ConnectingPrice(Section):
    """What one way to connect costs beyond the offer, from low to high, all taxes in it."""

    way: Literal[WAYS]  # type: ignore[valid-type]
    """Which way."""
    low: Money
    """Lowest price that was named."""
    high: Money
    """Highest price that was named."""
    source: ShortText | None = None
    """Who named it and when."""

    @model_validator(mode="after")
    def _check(self):
        if self.high < self.low:
            raise ValueError(f"high is {self.high:g} and low {self.low:g}; the first is never the smaller")
        return self


class Electrical(PanelFacts):
    edition: Annotated[int, Field(ge=1999, le=2050)] | None = None
    """Edition of the National Electrical Code that the place has adopted. Ask the building office."""
    service_v: Literal[240, 208] | None = None
    """Voltage between the two hot conductors: 240, or 208 where the building is fed from three phases."""
    phases: Literal["single", "three"] | None = None
    """Whether the house itself takes single-phase or three-phase power; nearly every house in the United States: single."""
    service_a: Amps | None = None
    """Rating of the service, A, where it is not the main breaker of the panel nearest the meter."""
    service_conductor: Conductor | None = None
    """The wires from the meter to the service disconnect."""
    panels: Annotated[list[Panel], Field(min_length=1, max_length=8)] | None = None
    """Several panels: the one that takes the array first, the one nearest the meter last."""
    run: Conductor | None = None
    """The wires from the inverter, or from the last unit of a branch, to the new breaker."""
    trunk: Trunk | None = None
    """Module-level units: the cable they hang on."""
    demand: Demand | None = None
    """What the house asks of its service, for the question whether a smaller main breaker is possible."""
    seen: Annotated[list[Literal[SEEN]], Field(max_length=12)] | None = None  # type: ignore[valid-type]
    """What was found by eye with the cover on; "nothing of these" where you looked and found none."""
    meter_socket_a: Amps | None = None
    """Rating of the meter socket, A, from its label or by the utility's word."""
    fault_current_ka: Kiloamps | None = None
    """Current that the utility's transformer can drive into a short circuit here, kA, by the utility's word."""
    emergency_disconnect_outdoors: bool | None = None
    """Whether the house already has an emergency disconnect outdoors."""
    working_space: WorkingSpace | None = None
    """The wall proposed for the inverter or the disconnect, with its free space."""
    way: Literal[WAYS] | None = None  # type: ignore[valid-type]
    """The way to connect that you have chosen; its price enters the cash. Where missing, the cheapest that fits."""
    prices: Annotated[list[ConnectingPrice], Field(max_length=len(WAYS))] = Field(default_factory=list)
    """What the ways to connect cost beyond the offer."""
    utility: Utility = Utility()

    @model_validator(mode="after")
    def _check(self):
        if self.edition is not None and (self.edition - 2020) % EDITION_YEARS:
            raise ValueError(f"edition {self.edition}: the Code comes out every three years, 2017, 2020, 2023; ask the building "
                             "office which of them holds")
        if self.panels is not None:
            said = sorted(set(PanelFacts.model_fields) & self.model_fields_set)
            if said:
                raise ValueError(f"{said[0]} stands under electrical and panels are listed too; write it under one of the panels")
            if self.panels[-1].feeder is not None:
                raise ValueError("the last of panels is the one nearest the meter; it has no feeder, its wires are "
                                 "service_conductor")
        if self.seen is not None and len(self.seen) > 1 and SEEN[-1] in self.seen:
            raise ValueError(f'seen names "{SEEN[-1]}" beside something that was found; leave one of them out')
        ways = [price.way for price in self.prices]
        twice = next((way for way in ways if ways.count(way) > 1), None)
        if twice:
            raise ValueError(f'prices name "{twice}" twice; one entry for each way')
        return self

    @property
    def chain(self) -> tuple[Panel, ...]:
        """The panels from the array to the meter; a house that lists none has one."""
        if self.panels is not None:
            return tuple(self.panels)
        facts = {key: getattr(self, key) for key in PanelFacts.model_fields}
        return (Panel.model_construct(**facts, name="main panel", feeder=None),)

    @property
    def all_sources(self) -> tuple[SourceBreaker, ...]:
        """Every breaker on any panel that already feeds power in."""
        return tuple(source for panel in self.chain for source in panel.sources)
