"""The list of what to find out: each line starts with whom it is for, and what decides the verdict comes first."""

from __future__ import annotations

import re
from collections.abc import Iterable

YOU, SELLER, UTILITY, ELECTRICIAN = "You", "Ask the seller", "Ask the utility", "Ask an electrician"
OFFICE, MAKER = "Ask the building office", "Ask the inverter's maker"
WHOM = (YOU, SELLER, UTILITY, ELECTRICIAN, OFFICE, MAKER)
_ASKED = re.compile(r"^[Aa]sk (?:the|an) (seller|utility|electrician|building office|inverter['’]s maker)(?: first)?,?(?: for)? (.*)$",
                    re.DOTALL)
_BY_WORD = {"seller": SELLER, "utility": UTILITY, "electrician": ELECTRICIAN, "building office": OFFICE,
            "inverter's maker": MAKER, "inverter’s maker": MAKER}
_ELECTRICIAN_DOES = re.compile(r"^An electrician (\w+)s (.*)$", re.DOTALL)
_PLACE = re.compile(r"^(?!Ask|Read|Take)([A-Z][^:.;]{2,80}): ((?:ask|note|read|measure|take|list|count|look) .*)$", re.DOTALL)


def addressed(ask: str) -> str:
    """'Ask the seller: the inverter's data sheet.' from 'Ask the seller for the inverter's data sheet.'"""
    if ask.startswith(tuple(f"{who}:" for who in WHOM)):
        return ask
    place = _PLACE.match(ask)
    if place:                                        # "Wires from the inverter: ask the electrician for their size."
        return f"{addressed(place.group(2)).removesuffix('.')} ({place.group(1)[0].lower()}{place.group(1)[1:]})."
    asked = _ASKED.match(ask)
    if asked:
        return f"{_BY_WORD[asked.group(1)]}: {asked.group(2).removeprefix(': ')}"
    does = _ELECTRICIAN_DOES.match(ask)
    if does:
        return f"{ELECTRICIAN}: to {does.group(1)} {does.group(2)}"
    return f"{YOU}: {ask[0].lower()}{ask[1:]}"


def in_order(*groups: Iterable[str]) -> tuple[str, ...]:
    """Every ask of the groups once, the groups as given, each with its addressee."""
    return tuple(dict.fromkeys(addressed(ask) for group in groups for ask in group if ask))
