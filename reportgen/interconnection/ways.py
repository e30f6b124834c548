"""Ways to make a too-large inverter fit, each with its sum, and what this report did not check."""

from __future__ import annotations

from reportgen.figures import Figure
from reportgen.interconnection.busbar import Panel, sources_a
from reportgen.interconnection.code_tables import (
    TOLERANCE_A,
    busbar_ratings_a,
    busbar_rules,
    cite,
    factor,
    has_clause,
    next_standard_a,
    standard_ratings_a,
)
from reportgen.interconnection.wording import amps

LEAST_SERVICE_A = 100.0   # smallest service disconnect of a one-family dwelling, NEC 230.79(C)


def ways_to_fit(panel: Panel, largest: Figure, largest_kw: Figure) -> tuple[str, ...]:
    """What could be changed so that the inverter, or a smaller one, fits; sums alone, in the order of the work."""
    if panel.edition is None or panel.new_a is None:
        return ()
    ways = []
    if largest.value:
        device = next_standard_a(factor("continuous_current") * largest.value, panel.edition)
        ways.append(f"A smaller inverter, usually with fewer modules: at most {largest.text()} ({largest_kw.text()}) fits by "
                    f"arithmetic, on a {amps(device)} breaker." if device else "A smaller inverter.")
    share = max(rule.busbar_share for rule in busbar_rules())
    room = share * panel.busbar_a - sources_a(panel)
    mains = [r for r in standard_ratings_a(panel.edition) if LEAST_SERVICE_A <= r <= room + TOLERANCE_A]
    if mains:
        ways.append(f"A smaller main breaker: {amps(mains[-1])} would leave room ({amps(mains[-1])} + "
                    f"{amps(sources_a(panel), 2)} ≤ {share:g} × {amps(panel.busbar_a)}), but only where an electrician's load "
                    f"calculation ({cite('load_calculation', panel.edition)}) allows that little.")
    bars = [r for r in busbar_ratings_a() if share * r >= panel.main_breaker_a + sources_a(panel) - TOLERANCE_A]
    if bars:
        ways.append(f"A panel with a busbar of {amps(bars[0])} or more behind the same main breaker "
                    f"({share:g} × {amps(bars[0])} ≥ {amps(panel.main_breaker_a)} + {amps(sources_a(panel), 2)}), with whatever "
                    "the inspector then asks of a new panel.")
    ways.append(f"A connection ahead of the main breaker ({cite('supply_side', panel.edition)}), with its own disconnect and "
                "overcurrent protection, where the utility allows one.")
    if has_clause("power_control", panel.edition):
        ways.append(f"A listed power control system ({cite('power_control', panel.edition)}), by its maker's instructions and "
                    "the inspector's word.")
    return tuple(ways)


def not_checked(edition: int | None) -> tuple[str, ...]:
    """What stands outside the two rules that were tried, each with its reason."""
    if edition is None:
        return ()
    return (
        f"The rule on the sum of all breakers ({cite('all_breakers', edition)}): it needs the list of every breaker.",
        (f"Panels fed at the centre ({cite('centre_fed', edition)}), through lugs, subpanels and feeders: the panel is "
         "taken as fed from one end."),
        "Wire sizes, voltage rise, disconnects, rapid shutdown, arc-fault and ground-fault protection, labels, working space.",
        "String voltage on the coldest morning: it needs the modules' data sheet and the place's design low temperature.",
        "The load on the service, the meter socket, the service drop, the panel's condition and its short-circuit rating.",
    )
