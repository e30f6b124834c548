"""The rows of tables/incentives.yaml: which law there is for a place and an owner, and which row holds on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache, lru_cache
from importlib import resources

import yaml

FEDERAL_CREDIT = "federal_residential_credit"   # the one that a house file may claim a percent of
OWNERS = ("household", "company")
SOON_YEARS = 2
STALE_AFTER_DAYS = 180


@dataclass(frozen=True)
class LawRow:
    """One row; the head of the table says what each column means."""
    key: str
    name: str
    who: str
    country: str
    owned_by: list[str]
    claimed_by: str
    kind: str
    finished_from: date
    finished_to: date | None
    order: int
    source: str
    seen_on: date
    state: str | None = None
    state_name: str = ""
    percent: float | None = None
    amount_per_mwh: float | None = None
    years: int | None = None
    cap: float | None = None
    against: str = ""
    basis_after: str = "nothing"
    carry: str | int = "none"
    contract_years: list[int] | None = None
    settled: bool = True
    pending: bool = False
    caution: str = ""

    @property
    def gives(self) -> bool:
        return self.percent != 0

    @property
    def carry_years(self) -> float:
        """Years after the first in which what is left may be used."""
        return {"none": 0.0, "forever": float("inf")}.get(self.carry, self.carry)

    @property
    def tax_name(self) -> str:
        return self.against.replace("state", f"{self.state_name} State") if self.state_name else self.against

    def covers(self, day: date | None) -> bool:
        return day is not None and self.finished_from <= day and (self.finished_to is None or day <= self.finished_to)


@dataclass(frozen=True)
class Law:
    """All rows of one key, in the table's order, and what is only a bill."""
    rows: tuple[LawRow, ...]
    pending: tuple[LawRow, ...]

    @property
    def last(self) -> LawRow:
        return self.rows[-1]

    def on(self, day: date | None) -> LawRow | None:
        return next((row for row in self.rows if row.covers(day)), None)


@cache
def law_rows() -> tuple[LawRow, ...]:
    text = (resources.files("reportgen") / "tables" / "incentives.yaml").read_text(encoding="utf-8")
    return tuple(LawRow(**row) for row in yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)))


@lru_cache(maxsize=256)
def laws_for(country: str, state: str | None, owner: str) -> tuple[Law, ...]:
    """The law of a place for an array owned by `owner`, in stacking order. state: as the house file writes it."""
    here = [row for row in law_rows() if row.country == country and owner in row.owned_by
            and (row.state is None or _is_state(row, state))]
    keys = dict.fromkeys(row.key for row in sorted(here, key=lambda row: row.order))
    laws = (Law(tuple(row for row in here if row.key == key and not row.pending),
                tuple(row for row in here if row.key == key and row.pending)) for key in keys)
    return tuple(law for law in laws if law.rows)


def states_held() -> tuple[str, ...]:
    """Names of the states that the table has rows for."""
    return tuple(sorted({row.state_name for row in law_rows() if row.state_name}))


def two_years_after(day: date) -> date:
    return day.replace(year=day.year + SOON_YEARS, day=min(day.day, 28) if day.month == 2 else day.day)


def _is_state(row: LawRow, written: str | None) -> bool:
    """'New York', 'new york state', 'NY' and 'N.Y.' are one."""
    plain = " ".join((written or "").replace(".", "").casefold().split()).removesuffix(" state")
    return plain in (row.state.casefold(), row.state_name.casefold())
