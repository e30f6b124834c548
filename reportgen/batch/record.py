"""What is known about one house after a run: the small record that workers send back and that is kept between runs."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field

MADE = "made"
UNCHANGED = "unchanged"
FAILED = "failed"
FAILED_EARLIER = "failed when it was last built"
NOT_ASKED = "not built this time"
ASKED = (MADE, UNCHANGED, FAILED)   # what this run worked on


@dataclass(frozen=True)
class Findings:
    """The row of houses.csv: what the report of this house says, in numbers and in words."""

    name: str
    verdict: str
    headline: str
    year_kwh: float | None
    year_kwh_low: float | None
    year_kwh_high: float | None
    year_kwh_text: str
    price: float | None
    price_text: str
    currency: str
    net_present_value: float | None
    net_present_value_low: float | None
    net_present_value_high: float | None
    net_present_value_text: str
    payback_low_years: float | None
    payback_high_years: float | None
    payback_text: str
    connection: str


@dataclass(frozen=True)
class Good:
    """The last good build of a house."""

    fingerprint: str
    file_bytes: dict[str, int]       # every file of the shared folder with its size
    has_pdf: bool
    findings: Findings


@dataclass(frozen=True)
class Record:
    slug: str
    state: str
    failures: tuple[str, ...] = ()   # one readable line each; empty unless FAILED or a part could not be made
    good: Good | None = None         # of this run, or of an earlier one
    details: str = field(default="", compare=False)   # for whoever mends the program; never shown on a page

    @property
    def has_failed(self) -> bool:
        """True: there is no report of the house as its file is now. A missing PDF alone is no such failure."""
        return self.state in (FAILED, FAILED_EARLIER)

    def for_keeping(self) -> dict:
        return {"failed": self.has_failed, "failures": list(self.failures), "good": asdict(self.good) if self.good else None}


def from_keeping(slug: str, kept: dict) -> Record:
    """The record of an earlier run. Raises KeyError or TypeError where another version wrote it."""
    good = kept["good"] and Good(**{**kept["good"], "findings": Findings(**kept["good"]["findings"])})
    return Record(slug, FAILED_EARLIER if kept["failed"] else NOT_ASKED, tuple(kept["failures"]), good)
