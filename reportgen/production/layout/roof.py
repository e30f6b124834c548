"""The whole roof: which ridge setback holds, what each face can carry, and the drawing's content for a sized house."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportgen.describe.fields import FT_M
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.figures import Figure, show
from reportgen.production.layout.covering import covering_notes
from reportgen.production.layout.face import face_room, keep_for, lay_out_face
from reportgen.production.layout.result import FaceLayout, FireAccess, RoofLayout
from reportgen.production.layout.rules import INCH_M, applies_to_house, fire_rules
from reportgen.production.layout.structure import structure_of
from reportgen.production.module import module_of

WHO_DECIDES = "The local fire official decides; many change or waive these distances."
Counts = tuple[int, ...]


@dataclass(frozen=True)
class Rooms:
    """Modules that each face holds, with the narrow and with the wide ridge setback; None where its shape is unknown."""

    narrow: tuple[int | None, ...]
    wide: tuple[int | None, ...]


def rooms_of(house: House) -> Rooms:
    module, applies = module_of(house), applies_to_house(house)
    found = (tuple(face_room(face, keep_for(face, applies, wide), module.long_m, module.short_m) for face in house.roof)
             for wide in (False, True))
    return Rooms(*found)


def fitting_counts(house: House, fill: Callable[[tuple[int | None, ...]], Sequence[int]],
                   last: Sequence[int] | None = None) -> tuple[Counts, bool]:
    """Modules by face that `fill` wants, and whether the wide ridge setback holds for them.

    fill(room by face) -> modules by face, never more than the room. The narrow setback allows more modules but only up
    to a share of the whole roof: filled so and cut to that share, or filled under the wide one, whichever gives more.
    last: faces in the order in which modules are given up to keep that share; the last in the file first if None.
    """
    rooms = rooms_of(house)
    narrow = tuple(fill(rooms.narrow))
    if rooms.narrow == rooms.wide:
        share = plan_share(house, narrow)
        return narrow, share is None or share > fire_rules().share
    cut = _cut_to_share(house, list(narrow), last)
    wide = tuple(fill(rooms.wide))
    if _is_narrow(house, cut) and sum(cut) >= sum(wide):
        return tuple(cut), False
    return wide, True


def _cut_to_share(house: House, counts: list[int], last: Sequence[int] | None) -> list[int]:
    """Modules given up, face by face, until the array is within the share that lets the narrow setback stand."""
    whole, module = whole_plan_m2(house), module_of(house)
    for i in last if last is not None else reversed(range(len(counts))):
        if whole is None or _is_narrow(house, counts):
            break
        one = module.long_m * module.short_m * _lying(house.roof[i])
        if _on_the_roof(house.roof[i]):
            over = array_plan_m2(house, counts) - fire_rules().share * whole
            counts[i] = max(0, counts[i] - math.ceil(over / one - 1e-9))
    return counts


def _is_narrow(house: House, counts: Sequence[int]) -> bool:
    share = plan_share(house, counts)
    return share is not None and share <= fire_rules().share + 1e-9


def plan_share(house: House, counts: Sequence[int]) -> float | None:
    """Array in plan over the whole roof in plan; None where a face's size is missing and the whole was not said."""
    whole = whole_plan_m2(house)
    return None if whole is None else array_plan_m2(house, counts) / whole


def array_plan_m2(house: House, counts: Sequence[int]) -> float:
    """Modules seen from straight above [m²]; those on the ground or on a detached garage are not on this roof."""
    module = module_of(house)
    return sum(n * module.long_m * module.short_m * _lying(face) for face, n in zip(house.roof, counts, strict=True)
               if _on_the_roof(face))


def whole_plan_m2(house: House) -> float | None:
    """Plan of the whole roof [m²]: as written, else the sum of the faces described; None where one has no size."""
    if house.building.whole_plan_m2 is not None:
        return house.building.whole_plan_m2
    areas = [(face.area_m2, _lying(face)) for face in house.roof if _on_the_roof(face)]
    if not areas or any(area is None for area, _ in areas):
        return None
    return sum(area * lying for area, lying in areas)


def lay_out_roof(house: House, counts: Sequence[int]) -> RoofLayout:
    """The drawing's content. counts: modules by face as the house has them; more than fit is a finding, not an error."""
    module, applies = module_of(house), applies_to_house(house)

    def as_wanted(rooms):
        return tuple(n if room is None else min(n, room) for n, room in zip(counts, rooms, strict=True))

    placed, wide = fitting_counts(house, as_wanted)
    faces, number = [], 1
    for i, (face, wanted) in enumerate(zip(house.roof, counts, strict=True)):
        if face.corners is None:
            continue
        made = lay_out_face(face, i, keep_for(face, applies, wide), module.long_m, module.short_m, wanted, placed[i], number)
        number += len(made.modules)
        faces.append(made)
    faces = tuple(faces)
    unknown = tuple(face.name for face in house.roof if face.corners is None)
    fire = _fire(house, faces, placed, wide)
    structure = structure_of(house, faces) if faces and number > 1 else None
    in_feet = all(house.roof[f.index].in_feet for f in faces)
    return RoofLayout(faces, unknown, fire, structure, covering_notes(house), _findings(faces), (
        *_counts(house, faces), *([fire.share] if fire.share else []),
        *(f for f in ((structure.per_area, structure.per_attachment) if structure else ()) if f)), in_feet)


def _counts(house: House, faces: tuple[FaceLayout, ...]):
    module = module_of(house)
    for face in faces:
        clear = "; ".join(dict.fromkeys(f"{zone.name} {show(zone.width_m / INCH_M, 'in', 0)}" if house.roof[face.index].in_feet
                                        else f"{zone.name} {show(zone.width_m, 'm', 2)}" for zone in face.zones))
        yield Figure(
            f"layout.face_{face.index + 1}_modules", f"Modules that fit on {face.name}", float(face.most), "modules",
            None, None, f"modules of {show(module.long_m, 'm', 3)} × {show(module.short_m, 'm', 3)}, rows along the eave, "
            f"both directions tried; kept clear: {clear or 'nothing'}; the largest block of equal rows holds "
            f"{face.even_most}", ("Distances to edges and things: common practice, no source, where the file names none",
                                  *(fire_rules().sources if face.pathway_side else ())))


def _fire(house: House, faces, placed: Counts, wide: bool) -> FireAccess:
    rules, said = fire_rules(), house.building.fire_access
    if not applies_to_house(house):
        if said is not None:
            return FireAccess(False, None, None, f"Ways for the fire service were not kept clear. The reason given: "
                                                 f"{said.reason.rstrip('.')}. {WHO_DECIDES}")
        return FireAccess(False, None, None, "Rules on ways for the fire service differ by country and were not looked at.")
    if faces and all(face.exempt_because for face in faces):
        why = "; ".join(dict.fromkeys(f"{face.name}: {face.exempt_because}" for face in faces))
        return FireAccess(True, None, None, f"No ways for the fire service are drawn ({why}; {rules.edition}). {WHO_DECIDES}")
    share = plan_share(house, placed)
    setback = rules.wide_m if wide else rules.narrow_m
    inches = show(setback / INCH_M, "in", 0)
    figure = None
    if share is None:
        why = "since the size of the whole roof is not known"
    else:
        figure = _share_figure(house, placed, share)
        order = "more" if share > rules.share else "no more"
        why = f"since the array covers {figure.text()} of the whole roof seen from above, {order} than {rules.share:.0%}"
        if wide and share <= rules.share:
            why = (f"since with the narrower one the array would cover more than {rules.share:.0%} of the whole roof seen "
                   f"from above (now {figure.text()})")
        why = why.replace("%", " %").replace("  %", " %")
    ridge = any(zone.kind == "ridge" for face in faces for zone in face.zones)
    ridge_text = f" and {inches} under each level ridge, {why}" if ridge else ""
    path = show(rules.pathway_m / INCH_M, "in", 0)
    return FireAccess(True, setback, figure, (
        f"Kept clear for the fire service, after the model code {rules.edition}: a pathway of {path} from eave to top on "
        f"each face with modules{ridge_text}. {WHO_DECIDES}"), tuple(_remarks(house, path)))


def _remarks(house: House, path: str):
    if house.building.whole_plan_m2 is None:
        yield ("The whole roof was taken to be the faces described here; with the whole roof’s area in plan the share falls, and "
               "the narrower setback may hold.")
    if sum(_on_the_roof(face) for face in house.roof) == 1:
        yield "The rule wants two pathways on separate faces; one face is described here, so the second is not drawn."
    yield (f"Not checked: whether one pathway lies on the street or driveway side, and {path} below a window meant for "
           "escape; the house file can keep such a place clear.")


def _share_figure(house: House, placed: Counts, share: float) -> Figure:
    array, whole = array_plan_m2(house, placed), whole_plan_m2(house)
    scale, unit = (FT_M ** 2, "ft²") if house.roof[0].in_feet else (1.0, "m²")
    said = ("as the house file gives it" if house.building.whole_plan_m2 is not None
            else "assumed to be the faces described, since the whole roof was not given")
    return Figure("layout.roof_share", "Share of the whole roof under modules, seen from above", 100 * share, "%", None, None,
                  f"modules in plan {show(array / scale, unit)} / whole roof in plan {show(whole / scale, unit)} ({said}) = "
                  f"{show(100 * share, '%', 1)}", fire_rules().sources)


def _findings(faces: tuple[FaceLayout, ...]) -> tuple[str, ...]:
    found = []
    for face in faces:
        drawn = len(face.modules)
        if face.wanted is not None and face.wanted > drawn:
            found.append(f"On {face.name} the drawing holds {drawn} {'module' if drawn == 1 else 'modules'}, the house file says "
                         f"{face.wanted}. {face.limit} The output and the money in this report are for "
                         f"{face.wanted}; measure the face, or ask the seller for a drawing.")
    return tuple(found)


def _lying(face: RoofFace) -> float:
    return math.cos(math.radians(face.tilt_deg))


def _on_the_roof(face: RoofFace) -> bool:
    return face.mounting != "ground" and face.stands_on != "detached garage"
