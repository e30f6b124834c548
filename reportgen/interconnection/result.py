"""What `interconnection` hands on: each check with its numbers, its clause and its edition."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure

FITS = "fits by arithmetic"
DOES_NOT_FIT = "does not fit"
CANNOT_SAY = "cannot say"


@dataclass(frozen=True)
class Check:
    key: str                      # "sum_rule", "rule_120"
    name: str                     # "Sum rule", "120 % rule"
    clause: str                   # "NEC 2020, 705.12(B)(3)(2)": edition in every citation
    verdict: str                  # FITS, DOES_NOT_FIT or CANNOT_SAY
    sentence: str                 # the sum with its numbers: "200 A + 40 A = 240 A, at most 1.2 × 200 A = 240 A"
    margin_a: Figure | None       # what is left [A]; negative: what is missing
    conditions: tuple[str, ...]   # what must also hold and only the site shows


@dataclass(frozen=True)
class BusbarSource:
    name: str
    breaker_a: float
    output_a: float
    position: str                 # "far end", "beside the main", "not known"
    is_new: bool
    counts: bool                  # False for a monitoring device, and for a generator held apart from the grid


@dataclass(frozen=True)
class Connection:
    judged: bool                  # False: outside what the rules cover; `sentence` says why
    verdict: str
    sentence: str                 # the verdict with its reason, one or two sentences
    edition: int | None
    busbar_a: float | None
    main_breaker_a: float | None
    source_current: Figure        # continuous output of the new inverters [A]
    source_device: Figure         # next standard breaker ≥ 1.25 × that [A]
    largest_inverter: Figure      # largest inverter output that would fit [A]; value None where unknown
    largest_inverter_kw: Figure   # the same [kW]
    sources: tuple[BusbarSource, ...]
    checks: tuple[Check, ...]
    findings: tuple[str, ...]     # what an electrician must look at first (label misread, ...)
    figures: tuple[Figure, ...]
    ways: tuple[str, ...] = ()        # ways to make it fit, each with its sum; only where it does not
    not_checked: tuple[str, ...] = ()
