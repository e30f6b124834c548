"""Invented Connections for the electrical pictures, made by hand: what the pictures show is what stands in them."""

from __future__ import annotations

import dataclasses

from reportgen.assessment import Assessment
from reportgen.describe.assumptions import complete
from reportgen.figures import Figure
from reportgen.interconnection.result import (
    CANNOT_SAY,
    DOES_NOT_FIT,
    FITS,
    BusbarSource,
    Connection,
    PanelFound,
    StringPlan,
    Way,
)
from reportgen.production.result import InverterShare
from reportgen.sizing import module_total
from tests.houses import house
from tests.report.chart_sample import sample

SUM = "Sum rule, NEC 2020, 705.12(B)(3)(1)"
SHARE = "120 % rule, NEC 2020, 705.12(B)(3)(2)"
LONG = "the old array on the carport behind the workshop, south-south-west, put up by the owner before last"


def figure(key: str, unit: str, value: float | None, formula: str = "") -> Figure:
    return Figure(f"interconnection.{key}", key, value, unit, formula=formula)


def new(breaker_a: float = 40, output_a: float = 32, position: str = "far end", name: str = "the new array") -> BusbarSource:
    return BusbarSource(name, breaker_a, output_a, position, True, True)


def old(name: str = "old array in the garage", breaker_a: float = 20, output_a: float = 16, position: str = "between",
        counts: bool = True) -> BusbarSource:
    return BusbarSource(name, breaker_a, output_a, position, False, counts)


def panel(**changed) -> PanelFound:
    plain = PanelFound("main panel", "breaker", 200, 200, 200, "end", (new(),), (15, 15, 20, 20, 30, 40, 50), 2, FITS, 240, 240,
                       SHARE)
    return dataclasses.replace(plain, **changed)


def way(key: str, name: str, verdict: str = FITS, change: str = "nothing", panels=()) -> Way:
    return Way(key, name, verdict, "", "", None, change, change == "nothing", "inspector and electrician", "", None, None, None,
               None, panels=tuple(panels))


def share(name: str = "inverter", limit_kw: float = 7.6, output_a: float | None = 32, dc_kw: float = 8.4, faces=("back",),
          count: int = 1, module_level: bool = False) -> InverterShare:
    return InverterShare(name, count, limit_kw, 97.0, output_a, tuple(faces), dc_kw, limit_kw, 0.0, 0, module_level)


def connected(panels, *, inverters=(), current_a: float | None = 32, device_a: float | None = 40, figures=(), strings=(),
              chosen: Way | None = None, electrical=None, array=None, roof=None, judged: bool = True) -> Assessment:
    base = sample()
    described = complete(house(
        electrical={"edition": 2020, "service_v": 240, **(electrical or {})},
        array={"inverter_a": current_a, "module_count": 21, **(array or {})} if array is None or "inverters" not in array else array,
        **({"roof": roof} if roof else {})))[0]
    first = panels[0] if panels else None
    connection = Connection(
        judged, first.verdict if first else CANNOT_SAY, "", 2020, first.busbar_a if first else None,
        first.protected_by_a if first else None, figure("source_current_a", "A", current_a),
        figure("source_device_a", "A", device_a), figure("largest_inverter_a", "A", None),
        figure("largest_inverter_kw", "kW", None), first.sources if first else (), (), (), tuple(figures), panels=tuple(panels),
        strings=tuple(strings), chosen=chosen)
    production = dataclasses.replace(base.production, inverters=tuple(inverters), dc_kw=0.4 * module_total(described))
    return dataclasses.replace(base, house=described, connection=connection, production=production)


def _chain() -> Assessment:
    found = (
        panel(name="workshop subpanel", main="lugs", busbar_a=125, protected_by_a=60, main_breaker_a=None,
              sources=(old(), new()), load_breakers_a=None, free_two_pole_spaces=1, limit_a=125, total_a=120, rule=SUM,
              feeder="6 AWG copper, 60 A breaker, 80 ft"),
        panel(name="garage subpanel", busbar_a=125, protected_by_a=100, main_breaker_a=100, verdict=DOES_NOT_FIT,
              sources=(new(60, 48, "beside the main", "feeder of the workshop subpanel"),), limit_a=125, total_a=160, rule=SUM,
              feeder="1/0 AWG aluminum, 100 A breaker, 60 ft"),
        panel(sources=(new(100, 48, "far end", "feeder of the garage subpanel"), old("battery under the stairs", 30, 24, "not known")),
              total_a=290, limit_a=240, verdict=DOES_NOT_FIT))
    electrical = {"panels": [
        {"name": "workshop subpanel", "main": "lugs", "sources": [{"name": "old array in the garage", "breaker_a": 20}]},
        {"name": "garage subpanel"},
        {"name": "main panel", "sources": [{"name": "battery under the stairs", "kind": "battery", "breaker_a": 30}]}],
        "service_conductor": {"size": "4/0", "metal": "aluminum", "length_ft": 30}, "meter_socket_a": 200,
        "run": {"size": "8", "metal": "copper", "length_ft": 60}, "service_a": 200, "fault_current_ka": 10,
        "emergency_disconnect_outdoors": True,
        "utility": {"name": "Lakeside Electric", "needs_outdoor_disconnect": True}}
    return connected(found, inverters=[share()], electrical=electrical)


def _two_inverters() -> Assessment:
    roof = [{"name": "back", "facing": "south", "slope": "6:12", "module_count": 12},
            {"name": "porch", "facing": "west", "slope": "6:12", "module_count": 9}]
    listed = {"inverters": [{"name": "south side", "limit_kw": 5.0, "output_a": 20.8, "faces": ["back"]},
                            {"name": "west side", "limit_kw": 3.8, "output_a": 16, "faces": ["porch"]}]}
    return connected(
        (panel(busbar_a=225, sources=(old(position="far end"), new(50, 36.8, "beside the main")), verdict=DOES_NOT_FIT, limit_a=225,
               total_a=266, rule=SUM),),
        inverters=[share("south side", 5.0, 20.8, 4.8), share("west side", 3.8, 16, 3.6, ("porch",))], current_a=36.8, device_a=50,
        figures=[figure("inverter_1_device_a", "A", 30), figure("inverter_2_device_a", "A", 20)],
        strings=[StringPlan("south side", FITS, "", None, None, ("back, 12 modules: 1 string of 12",), ()),
                 StringPlan("west side", FITS, "", None, None, ("porch, 9 modules: 1 string of 9",), ())],
        electrical={"sources": [{"name": "old array in the garage", "breaker_a": 20}]}, array=listed, roof=roof)


def _units(count: int, branches: int) -> Assessment:
    return connected(
        (panel(sources=(new(50, 36.3),), total_a=245.375, verdict=DOES_NOT_FIT),), current_a=36.3, device_a=50,
        inverters=[share("units on back", 0.29, 1.21, 12.0, count=count, module_level=True)],
        figures=[figure("unit_current_a", "A", 1.21), figure("units_per_branch", "modules", 13),
                 figure("branches", "circuits", branches),
                 figure("branch_current_a", "A", 12.1, "10 × 1.21 A = 12.1 A, on a 20 A breaker")],
        array={"conversion": "module-level", "unit_limit_w": 290, "unit_output_a": 1.21, "module_count": count,
               "inverter_a": None})


def _many_inverters() -> Assessment:
    shares = [share(f"{LONG} {k}", 3.8, 16, 4.2) for k in range(5)]
    return connected((panel(sources=(*(old(LONG, 20, 16) for _ in range(12)), new(100, 80)), total_a=540, verdict=DOES_NOT_FIT),),
                     inverters=shares, current_a=80, device_a=100,
                     electrical={"sources": [{"name": LONG, "breaker_a": 20}] * 12})


def _long_chain() -> Assessment:
    found = tuple(panel(name=f"panel {k}", feeder="2 AWG copper, 100 A breaker, 40 ft",
                        sources=(new(100 if k else 40, 32, name=f"feeder of panel {k - 1}" if k else "the new array"),)) for k in range(6))
    return connected(found, electrical={"panels": [{"name": f"panel {k}"} for k in range(6)]})


HOUSES = {
    "one panel, string inverter": lambda: connected(
        (panel(),), inverters=[share()],
        strings=[StringPlan("inverter", FITS, "", None, None, ("back, 21 modules: 2 strings of 7 and 1 of 7",), ())],
        electrical={"run": {"size": "8", "metal": "copper", "length_ft": 60}}),
    "two inverters, existing source": _two_inverters,
    "chain of three": _chain,
    "fed at the centre": lambda: connected(
        (panel(fed_from="centre", sources=(new(position="both ends"),), rule="Centre-fed rule, NEC 2020, 705.12(B)(3)(4)"),)),
    "split busbar": lambda: connected(
        (panel(main="split bus", main_breaker_a=None, protected_by_a=None, busbar_a=None, lower_busbar_a=125, lower_breaker_a=60, limit_a=None,
               total_a=None, rule="Split busbar as a whole", verdict=CANNOT_SAY),)),
    "supply side": lambda: connected(
        (panel(busbar_a=100, protected_by_a=100, main_breaker_a=100, sources=(old(), new()), verdict=DOES_NOT_FIT, limit_a=120,
               total_a=160),),
        inverters=[share()], chosen=way("supply_side", "Ahead of the main breaker", FITS, "a disconnect beside the meter"),
        electrical={"sources": [{"name": "old array in the garage", "breaker_a": 20}]}),
    "along the feeder": lambda: connected(
        (panel(name="barn subpanel", main="lugs", main_breaker_a=None, protected_by_a=60, busbar_a=125,
               feeder="4 AWG copper, 60 A breaker, 120 ft"), panel(sources=(new(60, 32, name="feeder of the barn subpanel"),))),
        inverters=[share()],
        electrical={"panels": [{"name": "barn subpanel", "main": "lugs", "feeder": {"array_joins": "along the feeder"}},
                               {"name": "main panel"}]}),
    "busbar not known": lambda: connected(
        (panel(busbar_a=None, protected_by_a=None, main_breaker_a=None, sources=(new(0, 32, "not known"),), load_breakers_a=None,
               free_two_pole_spaces=None, verdict=CANNOT_SAY, limit_a=None, total_a=None, rule=""),), current_a=None, device_a=None),
    "units on three branches": lambda: _units(30, 3),
    "units on seven branches": lambda: _units(85, 7),
    "208 V": lambda: connected((panel(sources=(new(50, 36.5),), total_a=245.625, verdict=DOES_NOT_FIT),), inverters=[share(output_a=36.5)], current_a=36.5, device_a=50,
                               electrical={"service_v": 208}),
    "all breakers counted": lambda: connected(
        (panel(sources=(old(), new()), total_a=250, limit_a=200, verdict=DOES_NOT_FIT,
               rule="All-breakers rule, NEC 2020, 705.12(B)(3)(3)"),),
        electrical={"sources": [{"name": "old array in the garage", "breaker_a": 20}]}),
    "smaller main chosen": lambda: connected(
        (panel(total_a=260, verdict=DOES_NOT_FIT),), inverters=[share()],
        chosen=way("smaller_main", "A smaller main breaker", FITS, "a 150 A main breaker in place of the one of 200 A",
                   panels=(panel(main_breaker_a=150, protected_by_a=150, total_a=190),))),
    "larger panel chosen": lambda: connected(
        (panel(total_a=260, verdict=DOES_NOT_FIT),), inverters=[share()],
        chosen=way("larger_panel", "Panel with a larger busbar", FITS, "a panel with a 225 A busbar in place of the main panel",
                   panels=(panel(busbar_a=225, limit_a=270, total_a=260, free_two_pole_spaces=None),))),
    "moved breaker chosen": lambda: connected(
        (panel(sources=(new(position="beside the main"),), verdict=DOES_NOT_FIT),), inverters=[share()],
        chosen=way("move_breaker", "Breaker moved to the far end of the busbar", FITS, "move the solar breaker", panels=(panel(),))),
    "power control chosen": lambda: connected(
        (panel(total_a=260, verdict=DOES_NOT_FIT),), inverters=[share()], array={"power_control_listed": True, "power_control_setpoint_a": 160,
                                                                                "module_count": 21, "inverter_a": 32},
        chosen=way("power_control", "Listed power control system", FITS, "a listed power control system")),
    "two inverters on one face": lambda: connected(
        (panel(sources=(new(50, 36.8),)),), inverters=[share("large one", 5.0, 20.8, 5.6), share("small one", 3.8, 16, 2.8)], current_a=36.8,
        device_a=50, figures=[figure("inverter_1_device_a", "A", 30), figure("inverter_2_device_a", "A", 20)]),
    "generator and monitor": lambda: connected(
        (panel(sources=(old("generator at the shed", 30, 0, "far end", False), old("energy monitor", 15, 0, "not known", False), new())),),
        inverters=[share()],
        electrical={"sources": [{"name": "generator at the shed", "kind": "generator", "breaker_a": 30, "interlocked": True},
                                {"name": "energy monitor", "kind": "monitoring", "breaker_a": 15}]}),
    "many of all and long names": _many_inverters,
    "six panels": _long_chain,
}
