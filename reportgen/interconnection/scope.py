"""What can be judged at all: for every other house one plain paragraph, with neither clause nor sum."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.models import House
from reportgen.interconnection.code_tables import editions, factor
from reportgen.interconnection.wording import amps, listed

ASK_EDITION = ("Ask the building office: which edition of the National Electrical Code holds for a permit today, and which local "
               "changes?")
NOTHING = "so nothing is said about its panel, breakers or wires"
STAYS = "What the roof gives and what it is worth stand as they are."


@dataclass(frozen=True)
class Outside:
    reason: str
    asks: tuple[str, ...] = ()


def outside(house: House) -> Outside | None:
    """Why this house is not judged, and whom to ask; None where it is."""
    electrical = house.electrical
    if not house.place.in_us:
        return Outside("This house is outside the United States, and the rules held here are United States rules. Nothing is said "
                       "about its panel, breakers or wires: the local rules and a licensed electrician there decide. " + STAYS)
    if house.building.kind == "three families or more":
        return Outside("The building holds three families or more. The rules held here are for smaller houses, "
                       f"{NOTHING}: an electrical engineer plans such a service. {STAYS}")
    if electrical.phases == "three":
        return Outside("The house takes three-phase power. The sums held here are for single-phase power, "
                       f"{NOTHING}: a licensed electrician or an engineer decides. {STAYS}")
    largest = _above_the_largest_service(house)
    if largest:
        return Outside(largest)
    if electrical.edition is None:
        return Outside("Nobody has said which edition of the National Electrical Code this house's place has adopted, and the rules "
                       f"differ from one to the next, {NOTHING}. Ask the building office which edition holds for a permit today "
                       f"and what the place has changed in it; then run this report again. {STAYS}", (ASK_EDITION,))
    if electrical.edition not in editions():
        held = listed([str(e) for e in editions()])
        return Outside(f"The edition named for this house is that of {electrical.edition}. The rules held here are those of the "
                       f"editions {held}, {NOTHING}: the building office and a licensed electrician decide. {STAYS}",
                       (ASK_EDITION,))
    return None


def _above_the_largest_service(house: House) -> str:
    """The sentence for a service that an engineer plans; '' for a smaller one."""
    electrical, nearest = house.electrical, house.electrical.chain[-1]
    most = factor("largest_service")
    rated = [("service", electrical.service_a), (_main(house), nearest.main_breaker_a)]
    if nearest.main_breaker_a is None:
        rated += [("breaker ahead of the panel", nearest.protected_by_a), ("busbar", nearest.busbar_a)]
    for part, rating in rated:
        if rating is not None and rating > most:
            return (f"The {part} is rated {amps(rating)}. Services above {amps(most)} are planned by an electrical engineer, "
                    f"{NOTHING}. {STAYS}")
    return ""


def _main(house: House) -> str:
    chain = house.electrical.chain
    return "main breaker" if len(chain) == 1 else f"main breaker of the {chain[-1].name}"
