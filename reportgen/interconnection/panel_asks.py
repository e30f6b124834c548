"""What to look at on every panel, with the door open and the cover on: the label, and the spaces at the far end."""

from __future__ import annotations

from collections.abc import Sequence

from reportgen.describe.models import House
from reportgen.interconnection.code_tables import cite
from reportgen.interconnection.path import supply_of
from reportgen.interconnection.result import FITS, Way
from reportgen.interconnection.room import no_room

FAR_END = ("Take a photo of all breakers in the {}, door open, cover on: are two neighbouring spaces free at {}? "
           "The 120 % rule needs them there; say too whether two are free elsewhere, where another rule may take them.")
ANYWHERE = ("Take a photo of all breakers in the {}, door open, cover on: are two neighbouring spaces free? By the sum rule they may lie "
            "anywhere on the busbar.")
LABEL = ("Take a photo of the label inside the door of the {}, so that its make, model and short-circuit rating can be read: breakers "
         "must be made and listed for this very panel.")
EVERY_PANEL = ("Take a photo of all breakers in the {}, door open, cover on, that shows the panel's name, the breaker of the feeder, and "
               "where on the busbar that breaker sits.")
DETACHED = ("Ask an electrician whether a panel stands in a building of its own, and whether the feeder to it has four wires and a "
            "disconnect there ({}; {}).")
TWO_HOMES = "Say whether the two homes have one meter or two, and whose panel the array would join."
ACCESS = ("Ask an electrician whether both households can reach the breakers that serve them ({}).")
NEEDS_AN_END = ("rule_120", "centre_fed")


def space_ask(house: House, ways: Sequence[Way]) -> tuple[str, ...]:
    """Whether spaces are free where the rule needs them; () where no way that fits rests on an end of the busbar, or the spaces
    were counted and may lie anywhere."""
    panel = house.electrical.chain[0]
    rests = any(check.key in NEEDS_AN_END and check.where == panel.name
                for way in ways if way.verdict == FITS and way.key != "larger_panel" for check in way.checks)
    if not rests or no_room(house) or panel.array_on_feed_through:
        return ()
    if any(way.key == "sum_rule" and way.verdict == FITS for way in ways):
        return () if panel.free_two_pole_spaces else (ANYWHERE.format(panel.name),)
    end = "one end of the busbar" if panel.fed_from == "centre" else f"the far end of the busbar, opposite {supply_of(panel)}"
    return (FAR_END.format(panel.name, end),)


def chain_asks(house: House) -> tuple[str, ...]:
    """Where several panels stand between the array and the meter, or two families share the house: what ties them together."""
    chain, edition, found = house.electrical.chain, house.electrical.edition, []
    if len(chain) > 1:
        found += [EVERY_PANEL.format(panel.name) for panel in chain[1:]]
        found.append(DETACHED.format(cite("separate_building_disconnect", edition), cite("separate_building_ground", edition)))
    if house.building.kind == "two families":
        found += [TWO_HOMES, ACCESS.format(cite("breakers_within_reach", edition))]
    return tuple(found)


def label_asks(house: House) -> tuple[str, ...]:
    """Make and model of each panel whose label was not asked for already."""
    return tuple(LABEL.format(panel.name) for panel in house.electrical.chain
                 if panel.busbar_a is not None and panel.main != "split bus")
