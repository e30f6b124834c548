"""Who else has a say in what is built here: association, district, landlord, neighbour."""

from __future__ import annotations

from reportgen.describe.fields import Section


class Permission(Section):
    owners_association: bool | None = None
    """Whether an owners' association has a say over roofs."""
    historic_district: bool | None = None
    """Whether the house stands in a historic district or is listed itself."""
    rented: bool | None = None
    """Whether the people who live here rent the house."""
    shared_roof: bool | None = None
    """Whether the roof belongs to several homes together."""
    party_wall: bool | None = None
    """Whether a wall is shared with the neighbour."""
