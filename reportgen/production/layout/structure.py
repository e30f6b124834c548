"""What the array weighs, by area and by attachment, against the limits of simplified permits. Never a verdict on a roof."""

from __future__ import annotations

from math import ceil

from reportgen.describe.building import LB_KG
from reportgen.describe.fields import FT_M
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_number
from reportgen.production.layout.result import FaceLayout, Structure
from reportgen.production.layout.rules import structure_limits
from reportgen.production.module import module_of

RAILS = 2                  # under each row: common practice, no source
AN_ENGINEER_DECIDES = "Rafters, snow and wind were not looked at; an engineer decides."
TOUCH_M = 0.05


def structure_of(house: House, faces: tuple[FaceLayout, ...]) -> Structure:
    """Weight of the drawn array: modules, rails, clamps. house: completed."""
    module, building = module_of(house), house.building
    runs = [length for face in faces for length in _runs(face)]
    rails_m = RAILS * sum(runs)
    count = sum(len(face.modules) for face in faces)
    weight_kg, area_m2 = count * module.weight_kg + rails_m * building.rail_kg_per_m, count * module.long_m * module.short_m
    attachments = building.attachment_count or sum(RAILS * (ceil(run / building.spacing_m - 1e-6) + 1) for run in runs)
    how = (f"{count} modules × {module.weight_kg:g} kg + {show(rails_m, 'm', 0)} of rail × {building.rail_kg_per_m:.2g} kg/m = "
           f"{show(weight_kg, 'kg', 0)}")
    return weighed(weight_kg, area_m2, attachments, how, us=house.place.in_us)


def weighed(weight_kg: float, area_m2: float, attachments: int, how: str = "", *, us: bool = True) -> Structure:
    """Weight by area and by attachment, held against tables/structure_limits.csv in the United States."""
    if not us:
        area = Figure("layout.weight_per_area", "Weight of the array on the roof", weight_kg / area_m2, "kg/m²", None, None,
                      f"{how}; {show(weight_kg, 'kg', 0)} / {show(area_m2, 'm²', 1)} = {_two(weight_kg / area_m2, 'kg/m²')}")
        each = Figure("layout.weight_per_attachment", "Weight on one attachment", weight_kg / attachments, "kg", None, None,
                      f"{show(weight_kg, 'kg', 0)} / {attachments} attachments = {_two(weight_kg / attachments, 'kg')}")
        return Structure(area, each, f"The array weighs about {_two(area.value, 'kg/m²')} and {_two(each.value, 'kg')} on each "
                                     f"attachment. What this roof bears was not looked at; an engineer decides.")
    limits = structure_limits()
    pounds, feet = weight_kg / LB_KG, area_m2 / FT_M ** 2
    per_area, per_point = pounds / feet, pounds / attachments
    sources = tuple(dict.fromkeys(source for _, _, source in limits.values()))
    area = Figure("layout.weight_per_area", "Weight of the array on the roof", per_area, "lb/ft²", None, None,
                  (how + "; " if how else "") + f"{show(pounds, 'lb', 1)} / {show(feet, 'ft²', 1)} = {_two(per_area, 'lb/ft²')}",
                  sources)
    each = Figure("layout.weight_per_attachment", "Weight on one attachment", per_point, "lb", None, None,
                  f"{show(pounds, 'lb', 1)} / {attachments} attachments = {show(per_point, 'lb', 1)}", sources)
    lines = []
    for key, value, unit in (("area_form", per_area, "lb/ft²"), ("attachment_form", per_point, "lb"),
                             ("area_guide", per_area, "lb/ft²")):
        limit, label, _ = limits[key]
        lines.append(f"{'inside' if value <= limit else 'outside'} the {limit:g} {unit} of the {label}")
    return Structure(area, each, f"The array weighs about {_two(per_area, 'lb/ft²')} and puts {show(per_point, 'lb', 0)} on each "
                                 f"of {attachments} attachments: {'; '.join(lines)}. {AN_ENGINEER_DECIDES}")


def _two(value: float, unit: str) -> str:
    return f"{show_number(value, 2 if value < 10 else 1)} {unit}"


def _runs(face: FaceLayout):
    """Lengths of the unbroken rows [m]."""
    left = right = low = None
    for m in face.modules:
        if right is not None and abs(m.low - low) < TOUCH_M and m.left - right < TOUCH_M:
            right = m.right
            continue
        if right is not None:
            yield right - left
        left, right, low = m.left, m.right, m.low
    if right is not None:
        yield right - left
