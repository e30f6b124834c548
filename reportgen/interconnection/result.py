"""What `interconnection` hands on: ways to connect, each check with its numbers, its clause and its edition.

Every verdict is one of three: "fits by arithmetic", "does not fit", "cannot say". None is ever an approval.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from reportgen.figures import Figure

FITS = "fits by arithmetic"
DOES_NOT_FIT = "does not fit"
CANNOT_SAY = "cannot say"


@dataclass(frozen=True)
class Check:
    """One line that an inspector can follow."""

    key: str                      # "sum_rule", "terminal_ampacity"; with `where` unique in a Connection
    name: str                     # "Sum rule"
    clause: str                   # "NEC 2020, 705.12(B)(3)(2)": edition in every citation
    verdict: str                  # FITS, DOES_NOT_FIT or CANNOT_SAY
    sentence: str                 # numbers put in, with the result: "200 A + 40 A = 240 A, at most 240 A: 0 A left."
    margin_a: Figure | None       # what is left, in the Figure's own unit; negative: what is missing
    conditions: tuple[str, ...]   # what must also hold and only the site shows
    where: str = ""               # "main panel", "feeder of the garage subpanel", "wires from the inverter"
    formula: str = ""             # in words: "main breaker + 1.25 × sources ≤ 1.2 × busbar"
    caution: str = ""             # a table row that was not double-checked, a clause number from memory, a recommendation


@dataclass(frozen=True)
class BusbarSource:
    name: str
    breaker_a: float
    output_a: float
    position: str                 # "far end", "beside the main", "between", "both ends", "not known"
    is_new: bool
    counts: bool                  # False for a monitoring device, and for a generator held apart from the grid


@dataclass(frozen=True)
class PanelFound:
    """One panel of the path as it is today with the new source put in, for tables and pictures; array first, meter last."""

    name: str
    main: str                     # "breaker", "lugs", "split bus"
    busbar_a: float | None
    protected_by_a: float | None  # the device that protects the busbar, M
    main_breaker_a: float | None  # its own main breaker; None for lugs
    fed_from: str                 # "end", "centre"
    sources: tuple[BusbarSource, ...]   # existing ones, then the new array or the feeder that brings it
    load_breakers_a: tuple[float, ...] | None
    free_two_pole_spaces: int | None
    verdict: str                  # of the best rule on this busbar as it is
    limit_a: float | None         # what that rule allows on the busbar [A]
    total_a: float | None         # what that rule counts on it [A]
    rule: str = ""                # that rule's name with its clause
    feeder: str = ""              # in words: "1/0 copper, 100 A breaker, 60 ft"; "" for the panel nearest the meter
    lower_busbar_a: float | None = None   # split busbar: rating of its lower part ...
    lower_breaker_a: float | None = None  # ... and the breaker that feeds it


@dataclass(frozen=True)
class PriceRange:
    low: float
    high: float
    source: str

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Way:
    """One way to connect, tried on every busbar and feeder of the path."""

    key: str                      # "sum_rule", "rule_120", "all_breakers", "centre_fed", "feed_through", "supply_side", ...
    name: str                     # "Breaker on the busbar, sum rule"
    verdict: str
    reason: str                   # one or two sentences with the sum that decides
    clause: str
    margin: Figure | None         # of the tightest check [A]
    change: str                   # what must change: "nothing", "move the solar breaker to the far end", "a 150 A main breaker"
    changes_nothing: bool         # True: the house as it is with the new breaker where it is planned
    decides: str                  # who decides: "inspector and electrician", "the utility first"
    price_way: str                # the key under electrical.prices that prices it
    price: PriceRange | None      # None: not given
    largest_a: Figure | None      # the largest array this way allows [A] ...
    largest_kw: Figure | None     # ... [kW]
    largest_modules: Figure | None   # ... in modules, at this house's module power and DC to AC ratio
    checks: tuple[Check, ...] = ()   # every busbar and feeder of the path
    conditions: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()     # where it cannot say: which photo to take, or whom to ask
    new_main_a: float | None = None  # a smaller main breaker nearest the meter, where the way puts one in [A]
    panels: tuple[PanelFound, ...] = ()   # the path with this way's change in it, for pictures; (): as the house is


@dataclass(frozen=True)
class LoadMethod:
    """The service load by one method, step by step."""

    key: str                      # "optional", "existing", "measured"
    name: str                     # "Optional calculation for dwellings"
    clause: str
    applies: bool                 # False: barred or not enough known; `why_not` says so
    why_not: str
    load_va: Figure | None
    load_a: Figure | None
    steps: tuple[str, ...]        # each line with its numbers
    cautions: tuple[str, ...]
    ask: str = ""                 # what to find out where it does not apply


@dataclass(frozen=True)
class ServiceLoad:
    """What the house asks of its service, and how small the main breaker may be by arithmetic."""

    methods: tuple[LoadMethod, ...]
    load_a: Figure | None         # the largest of the methods that apply [A]; None where none does
    least_main_a: Figure | None   # next standard rating, never under 100 A for a one-family service [A]
    room_a: Figure | None         # what the service has left for loads that are added later [A]
    planned: tuple[Check, ...]    # each planned load: does the service as it is take it
    cautions: tuple[str, ...]
    figures: tuple[Figure, ...] = ()
    room_after_a: Figure | None = None   # what is left behind the smaller main breaker of the chosen way [A]


@dataclass(frozen=True)
class StringPlan:
    """One inverter and the faces on it: how many modules a string may have, and whether the layout allows it."""

    inverter: str
    verdict: str
    sentence: str
    fewest: Figure | None         # modules a string, at least
    most: Figure | None           # modules a string, at most
    faces: tuple[str, ...]        # per face: "south-east roof, 14 modules: 2 strings of 7"
    checks: tuple[Check, ...]
    photos: tuple[str, ...] = ()  # what to read or ask where it cannot say
    figures: tuple[Figure, ...] = ()   # all of this plan, once each: its voltages, counts, currents and margins


@dataclass(frozen=True)
class Expectation:
    """Safety equipment or a label that the edition asks for."""

    name: str                     # "Rapid shutdown"
    text: str                     # what to expect, in plain words
    clause: str
    kind: str                     # "equipment", "label", "working space"
    caution: str = ""


@dataclass(frozen=True)
class Seen:
    """Something found by eye, or a rating to compare; each with its consequence."""

    what: str
    verdict: str                  # "" for a sight, else one of the three
    consequence: str
    stops: bool                   # an electrician looks before anything else


@dataclass(frozen=True)
class UtilityReview:
    name: str
    sentences: tuple[str, ...]    # class, steps, days: only from a row that the house names; otherwise "ask the utility"
    checks: tuple[Check, ...]     # size caps, where given
    delays: tuple[str, ...]       # what delays it
    source: str = ""


@dataclass(frozen=True)
class Permissions:
    """Who else must agree before anything is built, from the house's own keys."""

    sentences: tuple[str, ...]
    unknown: tuple[str, ...]      # what nobody said yet, as questions


@dataclass(frozen=True)
class Connection:
    judged: bool                  # False: outside what the rules cover; `sentence` says why
    verdict: str
    sentence: str                 # the verdict with its reason, one or two sentences
    edition: int | None
    busbar_a: float | None        # of the panel that takes the array
    main_breaker_a: float | None  # the device that protects it
    source_current: Figure        # continuous output of the new inverters [A]
    source_device: Figure         # next standard breaker ≥ 1.25 × that [A]
    largest_inverter: Figure      # largest inverter output that would fit as the house is [A]; value None where unknown
    largest_inverter_kw: Figure   # the same [kW]
    sources: tuple[BusbarSource, ...]
    checks: tuple[Check, ...]     # the busbar rules and feeders of the path as it is
    findings: tuple[str, ...]     # what an electrician must look at first (label misread, ...)
    figures: tuple[Figure, ...]
    ways: tuple[Way, ...] = ()
    not_checked: tuple[str, ...] = ()
    panels: tuple[PanelFound, ...] = ()
    chosen: Way | None = None     # the way that enters the cash: the house's own choice, else the cheapest that fits
    circuit_checks: tuple[Check, ...] = ()      # source circuits: device, maker's maximum, branches, combiner
    load: ServiceLoad | None = None
    conductors: tuple[Check, ...] = ()
    strings: tuple[StringPlan, ...] = ()
    safety: tuple[Expectation, ...] = ()
    working_space: tuple[Check, ...] = ()       # the wall proposed for the inverter or the disconnect
    seen: tuple[Seen, ...] = ()
    utility: UtilityReview | None = None
    permissions: Permissions = field(default_factory=lambda: Permissions((), ()))
    photos: tuple[str, ...] = ()  # what to find out, what decides the verdict first; each starts with whom: "You: ..."
    other_wires: str = ""         # "8 AWG copper for the wires from the inverter", where the wires that are named do not pass
    stop: str = ""                # opens `sentence` where something must be looked at before any sum counts
