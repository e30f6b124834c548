"""What is not on an offer's paper, by the fourteen points of tables/offer_checklist.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from reportgen.describe.offers import Offer


@dataclass(frozen=True)
class Need:
    point: int
    keys: tuple[str, ...]        # any of them answers it
    kinds: tuple[str, ...]       # ways to pay that it is asked of; empty: all
    missing: str
    ask: str


def not_on_paper(offer: Offer) -> tuple[Need, ...]:
    """In the order of the points."""
    return tuple(need for need in checklist() if (not need.kinds or offer.kind in need.kinds)
                 and all(_value(offer, key) is None for key in need.keys))


@cache
def checklist() -> tuple[Need, ...]:
    return tuple(Need(row["point"], tuple(need["keys"]), tuple(need.get("kinds", ())), need["missing"], need["ask"])
                 for row in points() for need in row["needs"])


@cache
def points() -> tuple[dict, ...]:
    """The fourteen points: point, about, needs."""
    text = (resources.files("reportgen") / "tables" / "offer_checklist.yaml").read_text(encoding="utf-8")
    return tuple(yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)))


def _value(offer: Offer, key: str):
    """None where it is not written; a sum of nothing is a word as good as another, if it is written."""
    node = offer
    *sections, last = key.split(".")
    for section in sections:
        node = getattr(node, section)
        if node is None:
            return None
    return getattr(node, last) if last in node.model_fields_set else None
