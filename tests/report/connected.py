"""Connections made by hand, with something in every field, on the full panel of the invented houses."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from reportgen.assessment import Assessment
from reportgen.figures import Figure
from reportgen.interconnection.result import (
    CANNOT_SAY,
    DOES_NOT_FIT,
    FITS,
    Check,
    Connection,
    Expectation,
    LoadMethod,
    Permissions,
    PriceRange,
    Seen,
    ServiceLoad,
    StringPlan,
    UtilityReview,
    Way,
)
from tests.report.built import US, assessed


def amps(key: str, value: float | None) -> Figure:
    return Figure(f"connection.{key}", key, value, "A", formula=f"{key} by hand")


def check(key: str, verdict: str = FITS, where: str = "main panel", left: float | None = 4.0, **others) -> Check:
    given = {"name": f"Rule {key}", "clause": f"NEC 2020, 705.12 ({key})", "sentence": f"200 A + 60 A for {key}.",
             "conditions": (f"What only the site shows about {key}.",), "formula": f"main breaker + {key} ≤ busbar"} | others
    return Check(key=key, verdict=verdict, margin_a=amps(f"left_{key}", left), where=where, **given)


def way(key: str, verdict: str = FITS, changes_nothing: bool = False, price: PriceRange | None = None, **others) -> Way:
    given = {"name": f"Way {key}", "reason": f"The sum of {key} decides: 240 A, at most 240 A.", "clause": f"NEC 2020, 705.12 ({key})",
             "margin": amps(f"margin_{key}", 4.0 if verdict == FITS else -20.0 if verdict == DOES_NOT_FIT else None),
             "change": "nothing" if changes_nothing else f"a changed {key}", "decides": "inspector and electrician",
             "price_way": key, "largest_a": amps(f"largest_{key}", 32.0), "largest_kw": Figure(f"connection.kw_{key}", key, 7.68, "kW"),
             "largest_modules": Figure(f"connection.modules_{key}", key, 23.0, "modules"), "checks": (check(f"{key}_check", verdict),)}
    return Way(key=key, verdict=verdict, changes_nothing=changes_nothing, price=price, **given | others)


def whole_connection() -> Connection:
    """Every field filled: the house as it is does not fit, two ways do, one cannot be judged."""
    smaller = way("smaller_main", price=PriceRange(900, 1600, "an electrician's word, November 2026 (invented)"))
    ways = (way("sum_rule", DOES_NOT_FIT, changes_nothing=True), smaller, way("supply_side"),
            way("power_control", CANNOT_SAY, photos=("The data sheet of the inverter.",)))
    load = ServiceLoad(
        methods=(LoadMethod("optional", "Optional calculation for dwellings", "NEC 2020, 220.82", True, "",
                            Figure("load.optional_va", "Load", 26_000.0, "VA"), amps("load_optional", 108.3),
                            ("2,000 ft² × 3 VA = 6,000 VA.", "First 10,000 VA whole, the rest at 40 %."), ("Only what was listed counts.",)),
                 LoadMethod("measured", "A year of measured peaks", "NEC 2020, 220.87", False, "An array was already feeding in.",
                            None, None, (), (), "Ask the utility for the peaks before that.")),
        load_a=amps("load", 108.3), least_main_a=amps("least_main", 110.0), room_a=amps("room", 91.7),
        planned=(check("planned", where="a car charger"),), cautions=("A gas furnace that becomes a heat pump changes this.",))
    return Connection(
        judged=True, verdict=DOES_NOT_FIT, sentence="Does not fit: 200 A + 60 A = 260 A, at most 240 A.", edition=2020,
        busbar_a=200.0, main_breaker_a=200.0, source_current=amps("source", 48.0), source_device=amps("device", 60.0),
        largest_inverter=amps("largest", 32.0), largest_inverter_kw=Figure("connection.largest_kw", "Largest", 7.68, "kW"),
        sources=(), checks=(check("sum_rule", DOES_NOT_FIT, left=-20.0, caution="the clause number is from memory"),),
        findings=("The label was read twice with two numbers.",), figures=(), ways=ways, chosen=smaller,
        not_checked=("Whether the utility's transformer takes it.",), circuit_checks=(check("device", where="new breaker"),),
        load=load, conductors=(check("terminal_ampacity", where="wires from the inverter"),),
        strings=(StringPlan("large inverter", FITS, "In the cold a string of 14 gives 561 V, at most 600 V.",
                            Figure("strings.least", "Fewest", 7.0, "modules"), Figure("strings.most", "Most", 14.0, "modules"),
                            ("main roof, 14 modules: 1 string of 14",), (check("cold_voltage", where="large inverter"),)),),
        safety=(Expectation("Rapid shutdown", "A switch that the fire service finds.", "NEC 2020, 690.12", "equipment"),
                Expectation("Label at the breaker", "Says what it must not be moved from.", "NEC 2020, 705.12(B)", "label", "one public source")),
        working_space=(check("depth", where="garage wall"),),
        seen=(Seen("rust in the panel", "", "An electrician opens it first.", True), Seen("short-circuit rating", CANNOT_SAY, "Ask the utility.", False)),
        utility=UtilityReview("Fork River Power", ("Ask the utility for its steps.",), (check("size_cap", where="utility"),),
                              ("A missing drawing.",), "the utility's page, November 2026 (invented)"),
        permissions=Permissions(("The owners' association agrees first.",), ("Does the house stand in a historic district?",)),
        photos=("The label inside the panel's door.", "Ask the building office which edition holds."))


@cache
def connected() -> Assessment:
    """The full panel with the connection above in the place of its own."""
    return replace(assessed(US), connection=whole_connection())
