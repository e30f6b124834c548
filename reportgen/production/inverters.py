"""Which inverter takes which part of the array, what each gives, and what each cuts off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.production.conversion import convert, limited
from reportgen.production.faces import FaceShare
from reportgen.production.result import InverterShare
from reportgen.sizing import module_total


@dataclass(frozen=True)
class Plan:
    """`count` equal inverters that share the same faces evenly, or the units under one face's modules."""

    name: str
    count: int
    limit_kw: float               # of one
    efficiency_percent: float
    output_a: float | None        # of one
    parts: tuple[float, ...]      # of each face's DC, the share that feeds these inverters
    dc_kw: float                  # rated power behind all `count`
    faces: tuple[str, ...]        # names of the faces that feed them
    module_level: bool = False


@dataclass(frozen=True, eq=False)
class AcHours:
    """The array through the year, after conversion [kW]."""

    unlimited_kw: np.ndarray      # of the whole array
    limited_kw: np.ndarray
    is_at_limit: np.ndarray       # hours in which something is cut off
    face_kw: tuple[np.ndarray, ...]   # limited, by face
    face_cut_kwh: tuple[float, ...]   # cut off in the year, by face
    inverters: tuple[InverterShare, ...]


def plan_inverters(house: House, shares: tuple[FaceShare, ...]) -> tuple[Plan, ...]:
    """The inverters of a sized house, each with its faces.

    One inverter takes everything. Of several, each takes the faces that it names, and one that names none takes what
    no other names; a face that several take is shared in proportion to their limits. Module-level units are one group
    a face, one unit a module.
    """
    if house.array.conversion == "module-level":
        return _units(house, shares)
    efficiency = house.array.inverter_efficiency_percent
    if not house.array.inverters:
        names = tuple(face.name for face, share in zip(house.roof, shares, strict=True) if share.dc_kw > 0)
        return (Plan("inverter", 1, house.array.inverter_kw, efficiency, house.array.inverter_a, (1.0,) * len(shares),
                     sum(share.dc_kw for share in shares), names),)
    return _listed(house, shares, efficiency)


def limit_words(inverters: tuple[InverterShare, ...]) -> str:
    """'5.00 kW', '3.80 kW at south and 5.00 kW at west', '290 W at each unit'."""
    if len({(i.limit_kw, i.count) for i in inverters}) == 1 and len(inverters) == 1 and inverters[0].count == 1:
        return show(inverters[0].limit_kw, "kW")
    if all(i.module_level for i in inverters):
        return f"{show(1000.0 * inverters[0].limit_kw, 'W')} at each unit"
    return " and ".join(f"{show(i.limit_kw, 'kW')} at {'each ' if i.count > 1 else ''}{i.name}" for i in inverters)


def name_with_faces(inverter: InverterShare) -> str:
    """As the reader sees it: its own name and faces."""
    return inverter.name if inverter.module_level or not inverter.faces else (
        f"{inverter.name} ({', '.join(inverter.faces)})")


def _units(house: House, shares) -> tuple[Plan, ...]:
    array, total = house.array, module_total(house)
    limit_kw = array.inverter_kw / total
    output_a = array.inverter_a / total if array.inverter_a is not None else None
    plans = []
    for i, (face, share) in enumerate(zip(house.roof, shares, strict=True)):
        if share.module_count > 0:
            parts = tuple(1.0 if k == i else 0.0 for k in range(len(shares)))
            plans.append(Plan(f"units on {face.name}", share.module_count, limit_kw, array.inverter_efficiency_percent,
                              output_a, parts, share.dc_kw, (face.name,), True))
    return tuple(plans)


def _listed(house: House, shares, efficiency) -> tuple[Plan, ...]:
    inverters = house.array.inverters
    named = {name for inverter in inverters for name in inverter.faces or ()}
    takes = [[face.name in inverter.faces if inverter.faces is not None else face.name not in named
              for face in house.roof] for inverter in inverters]
    limits = [inverter.limit_kw * inverter.count for inverter in inverters]
    at_face = [sum(limit for limit, takes_it in zip(limits, takes, strict=True) if takes_it[i])
               for i in range(len(shares))]
    plans = []
    for inverter, limit, taken in zip(inverters, limits, takes, strict=True):
        parts = tuple(limit / at_face[i] if taken[i] else 0.0 for i in range(len(shares)))
        names = tuple(face.name for face, part, share in zip(house.roof, parts, shares, strict=True)
                      if part > 0 and share.dc_kw > 0)
        plans.append(Plan(inverter.name, inverter.count, inverter.limit_kw, inverter.efficiency_percent or efficiency,
                          inverter.output_a, parts,
                          sum(part * share.dc_kw for part, share in zip(parts, shares, strict=True)), names))
    return tuple(plans)


def to_ac(plans: tuple[Plan, ...], face_dc_kw, limit_kw: float) -> AcHours:
    """Convert and limit, each inverter for itself.

    face_dc_kw: DC power by hour, one array a face. limit_kw: of all inverters together. A face has its part of each
    hour's output, and of what is cut off, by its DC power.
    """
    hours = np.zeros_like(face_dc_kw[0])
    face_kw = [np.zeros_like(hours) for _ in face_dc_kw]
    face_cut = [0.0] * len(face_dc_kw)
    unlimited_kw, limited_kw, is_at_limit, found = hours, hours, np.zeros(hours.shape, dtype=bool), []
    for plan in plans:
        fed = [(i, part * dc if part != 1.0 else dc) for i, (part, dc) in
               enumerate(zip(plan.parts, face_dc_kw, strict=True)) if part > 0]
        whole_dc = sum(dc for _, dc in fed)
        one = convert(whole_dc / plan.count, plan.limit_kw, plan.efficiency_percent)
        one_limited = limited(one, plan.limit_kw)
        before, after, above = one * plan.count, one_limited * plan.count, one > plan.limit_kw
        cut = before - after
        per_dc = np.divide(after, whole_dc, out=np.zeros_like(hours), where=whole_dc > 0)
        cut_per_dc = np.divide(cut, whole_dc, out=np.zeros_like(hours), where=above)
        for i, dc in fed:
            face_kw[i] = face_kw[i] + dc * per_dc
            face_cut[i] += float((dc * cut_per_dc).sum())
        unlimited_kw, limited_kw, is_at_limit = unlimited_kw + before, limited_kw + after, is_at_limit | above
        found.append(InverterShare(plan.name, plan.count, plan.limit_kw, plan.efficiency_percent, plan.output_a,
                                   plan.faces, plan.dc_kw, float(one_limited.max()), float(cut.sum()),
                                   int(above.sum()), plan.module_level))
    # Limited again, since parts that each obey their limit can pass the whole one by a rounding in their sum.
    return AcHours(unlimited_kw, limited(limited_kw, limit_kw), is_at_limit, tuple(face_kw), tuple(face_cut),
                   tuple(found))
