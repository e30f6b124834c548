"""Wires in the electrical code's tables: ampacity, factors for heat and number, small wires, ground, resistance."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from reportgen.describe.conductor import SIZES
from reportgen.interconnection.code_tables import TOLERANCE_A, table_rows

METALS = ("copper", "aluminum")
NO_LIMIT = float("inf")


@dataclass(frozen=True)
class Resistance:
    ohm_per_kft: float
    caution: str               # "" where two public sources agree


@dataclass(frozen=True)
class ServiceRow:
    service_a: float
    caution: str


@cache
def _ampacities() -> dict[tuple[str, str, int], float]:
    return {(row["metal"], row["size_awg"], column): float(row[f"at_{column}_c_a"])
            for row in table_rows("code_ampacity.csv") for column in (60, 75, 90)}


def table_ampacity_a(metal: str, size: str, column_c: int) -> float:
    """Ampacity [A] at 30 °C with up to three wires that carry current, in the column for 60, 75 or 90 °C.

    Errors: KeyError for aluminum of size 14, which is in no table. Source: NEC Table 310.16.
    """
    return _ampacities()[metal, size, column_c]


def sizes_of(metal: str) -> tuple[str, ...]:
    """Sizes in the ampacity table, thinnest first."""
    return tuple(size for size in SIZES if (metal, size, 60) in _ampacities())


@cache
def _ambient_rows() -> tuple[tuple[float, dict[int, float]], ...]:
    return tuple((float(row["air_up_to_c"]),
                  {column: float(row[f"insulation_{column}_c"] or 0.0) for column in (60, 75, 90)})
                 for row in table_rows("code_ambient_factors.csv"))


def ambient_factor(air_c: float, insulation_c: int) -> float:
    """Share of the table's ampacity left in air of `air_c` °C; 0 where the table has no factor: too hot for this wire.

    Air between two rows takes the hotter one. Source: NEC Table 310.15(B)(1)(1) in the 2023 edition.
    """
    return next((factors[insulation_c] for up_to_c, factors in _ambient_rows() if air_c <= up_to_c + 1e-9), 0.0)


@cache
def _count_rows() -> tuple[tuple[float, float], ...]:
    return tuple((float(row["wires_up_to"] or NO_LIMIT), float(row["share"]))
                 for row in table_rows("code_count_factors.csv"))


def count_factor(current_carrying: int) -> float:
    """Share left with so many wires that carry current in one pipe or cable. Source: NEC Table 310.15(C)(1)."""
    return next(share for up_to, share in _count_rows() if current_carrying <= up_to)


@cache
def _small() -> dict[tuple[str, str], float]:
    return {(row["metal"], row["size_awg"]): float(row["device_at_most_a"])
            for row in table_rows("code_small_conductors.csv")}


def small_conductor_cap_a(metal: str, size: str) -> float | None:
    """Largest device [A] on a thin wire, whatever its ampacity; None for wires with no such cap. Source: NEC 240.4(D)."""
    return _small().get((metal, size))


@cache
def equipment_ground(device_a: float) -> tuple[str, str] | None:
    """(copper, aluminum) size of the equipment ground for a device; None above the table. Source: NEC Table 250.122."""
    return next(((row["copper_awg"], row["aluminum_awg"]) for row in table_rows("code_equipment_ground.csv")
                 if device_a <= float(row["device_up_to_a"]) + TOLERANCE_A), None)


@cache
def _areas() -> dict[str, float]:
    return {row["size_awg"]: float(row["circular_mils"]) for row in table_rows("code_wire_area.csv")}


def circular_mils(size: str) -> float:
    """Area of a wire of this size [circular mils]. Source: NEC Chapter 9, Table 8, from memory; checked against ASTM B258."""
    return _areas()[size]


@cache
def _resistances() -> dict[tuple[str, str, str], Resistance]:
    return {(row["metal"], row["size_awg"], row["stranding"]):
            Resistance(float(row["ohm_per_kft"]), _caution(row)) for row in table_rows("code_wire_resistance.csv")}


def resistance(metal: str, size: str, stranding: str = "stranded") -> Resistance:
    """Direct-current resistance at 75 °C [ohm per 1000 ft]; copper uncoated. Source: NEC Chapter 9, Table 8."""
    return _resistances()[metal, size, stranding]


@cache
def _service_rows() -> tuple[tuple[float, dict[str, str], str], ...]:
    return tuple((float(row["service_a"]), {metal: row[f"{metal}_awg"] for metal in METALS}, _caution(row))
                 for row in table_rows("code_dwelling_service.csv"))


def largest_dwelling_service(metal: str, size: str) -> ServiceRow | None:
    """Largest service that wires of this size may bring to one dwelling; None for wires under the first row.

    Source: NEC Table 310.12(A), 2023 edition.
    """
    fits = [(service_a, caution) for service_a, sizes, caution in _service_rows()
            if sizes[metal] in SIZES and SIZES.index(sizes[metal]) <= SIZES.index(size)]
    return ServiceRow(*fits[-1]) if fits else None


def dwelling_service_size(metal: str, service_a: float) -> str | None:
    """Smallest size in the table for this service; None outside it."""
    return next((sizes[metal] for rated_a, sizes, _ in _service_rows() if service_a <= rated_a + TOLERANCE_A), None)


def dwelling_service_range_a() -> tuple[float, float]:
    """Smallest and largest service of that table [A]."""
    rated = [row[0] for row in _service_rows()]
    return rated[0], rated[-1]


@cache
def _seen_once() -> frozenset[tuple[str, int]]:
    return frozenset((row["rule"], int(row["edition"])) for row in table_rows("code_clauses_conductors.csv")
                     if row["checked"] == "one public source")


def clause_caution(rules: tuple[str, ...], edition: int) -> str:
    """A caution where one of the clauses was seen in one public source only; '' otherwise."""
    return ("A clause number here was seen in one public source only; look it up before relying on it."
            if any((rule, edition) in _seen_once() for rule in rules) else "")


def _caution(row: dict[str, str]) -> str:
    if row["checked"] == "two or more public sources":
        return ""
    return "This row of the table was seen in one public source only."
