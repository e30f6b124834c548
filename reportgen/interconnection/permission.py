"""Who else must agree before anything is built, from the house's own keys. Plain sentences that hold in any country."""

from __future__ import annotations

from reportgen.describe.models import House
from reportgen.interconnection.result import Permissions

# What follows where it is so, and the question where nobody said. Common practice, no source: no law is named.
WHERE_SO = {
    "owners_association": (
        "An owners' association has a say over the roof: get its agreement in writing, with the drawing of the array, before "
        "anything is signed. Some laws limit what it may refuse; ask."),
    "historic_district": (
        "The house stands in a historic district or is listed: the office that looks after it must agree in writing to how "
        "the array looks, often from the street, before anything is signed."),
    "rented": (
        "The people who live here rent: the owner of the house must agree in writing before anything is signed, and both "
        "should write down who pays, who gets the savings and what happens at a move."),
    "shared_roof": (
        "The roof belongs to several homes: every owner must agree in writing before anything is signed, to the array's place "
        "on the roof and to who pays when the roof is renewed."),
    "party_wall": (
        "A wall is shared with the neighbour: the neighbour must agree in writing before anything is signed where the array, "
        "its wires or its fire distances touch that wall or reach across it."),
}
QUESTIONS = {
    "owners_association": "Does an owners' association have a say over roofs here?",
    "historic_district": "Does the house stand in a historic district, or is it listed itself?",
    "rented": "Do the people who live here own the house, or rent it?",
    "shared_roof": "Does the roof belong to this home alone, or to several together?",
    "party_wall": "Is a wall shared with the neighbour?",
}


def permissions(house: House) -> Permissions:
    """A sentence for each that holds, a question for each that nobody answered; nothing for what was answered no."""
    said = {key: getattr(house.permission, key) for key in WHERE_SO}
    return Permissions(tuple(WHERE_SO[key] for key, value in said.items() if value),
                       tuple(QUESTIONS[key] for key, value in said.items() if value is None))
