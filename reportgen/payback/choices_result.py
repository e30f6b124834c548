"""What would change the answer, as found: the joint range, what would have to be true, what if, and other things to do."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure


@dataclass(frozen=True)
class JointInput:
    """One uncertain thing and how it is spread over the points."""
    name: str
    low_text: str
    middle_text: str
    high_text: str
    spread_is: str                # "the middle one likeliest" (triangular), "normal", "one point in four"


@dataclass(frozen=True)
class JointRange:
    point_count: int
    method: str                   # how the points are made
    inputs: tuple[JointInput, ...]
    fixed: tuple[str, ...]        # what is not moved
    net_present_value: Figure     # low P10, value P50, high P90
    payback: Figure               # [years]; None: not within the horizon
    share_above_zero: Figure      # [%]
    sentence: str                 # "About 7 in 10 of these 256 points end above zero."
    sorted_worths: tuple[float, ...]   # net present value of every point, lowest first

    @property
    def figures(self) -> tuple[Figure, ...]:
        return self.net_present_value, self.payback, self.share_above_zero


@dataclass(frozen=True)
class Need:
    """One thing that alone would bring the target about in the middle case, all else as it is."""
    figure: Figure                # None where nothing within the limits does
    today: str                    # what it is now: "$2.95 per W"; "" where there is no such thing now
    sentence: str


@dataclass(frozen=True)
class Needs:
    target_years: int
    is_met: bool                  # in the middle case
    headline: str
    needs: tuple[Need, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        return tuple(need.figure for need in self.needs)


@dataclass(frozen=True)
class GridCell:
    net_present_value: float                              # middle output
    payback_years: tuple[int | None, int | None]          # favourable and unfavourable output; None: not within the horizon
    is_as_stated: bool = False


@dataclass(frozen=True)
class GridTable:
    """One plain table: a row a growth, a column a price."""
    rule: str
    use: str
    rows: tuple[tuple[GridCell, ...], ...]


@dataclass(frozen=True)
class WhatIfGrid:
    currency: str
    horizon_years: int
    growths: tuple[str, ...]      # labels of the rows
    prices: tuple[str, ...]       # labels of the columns
    tables: tuple[GridTable, ...] # by rule, then by use
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Waiting:
    gain: Figure                  # worth of waiting a year less worth of going now, in today's money
    lost_saving: Figure           # what the first year would have left
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class SizeRung:
    name: str                     # "this house's size", "half of it", "covers the year's use"
    module_count: int
    is_own: bool
    power: Figure                 # [kW]
    output: Figure                # [kWh]
    price: Figure
    net_present_value: Figure
    payback: Figure
    kept_to: str = ""             # which way to connect is in its price

    @property
    def figures(self) -> tuple[Figure, ...]:
        return self.power, self.output, self.price, self.net_present_value, self.payback


@dataclass(frozen=True)
class CommunityFound:
    net_by_year: tuple[float, ...]       # year 0 first, middle
    first_year_net: Figure
    net_present_value: Figure
    notes: tuple[str, ...]


@dataclass(frozen=True)
class RoofWork:
    year: int
    cost: Figure                  # lifting and refitting, in that year's money
    lost_output: Figure           # [kWh]
    roof_first_saves: Figure      # in today's money, if the roof were renewed before the array
    sentence: str


@dataclass(frozen=True)
class OtherChoices:
    waiting: Waiting | None
    sizes: tuple[SizeRung, ...]   # smallest first, the house's own among them
    size_notes: tuple[str, ...]
    other_measures: tuple[str, ...]      # as the house file names them
    community: CommunityFound | None
    roof: RoofWork | None

    @property
    def figures(self) -> tuple[Figure, ...]:
        found = [figure for rung in self.sizes for figure in rung.figures]
        if self.waiting is not None:
            found += [self.waiting.gain, self.waiting.lost_saving]
        if self.community is not None:
            found += [self.community.first_year_net, self.community.net_present_value]
        if self.roof is not None:
            found += [self.roof.cost, self.roof.lost_output, self.roof.roof_first_saves]
        return tuple(found)


@dataclass(frozen=True)
class Emissions:
    avoided: Figure               # [t of CO₂ a year]; 0 where certificates are sold; None where no factor is known
    factor: Figure                # [g CO₂ per kWh]
    sentences: tuple[str, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        return self.avoided, self.factor
