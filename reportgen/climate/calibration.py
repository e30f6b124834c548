"""Set the level of a year of sun by what is known nearby: metered arrays, or the year's sunlight on level ground.

The rule. Each kind of knowledge gives a ratio to the year as read, and how sure it is. The year as read counts as ratio 1
with its own sigma. The sun is multiplied by the mean of all, each weighted with 1 / sigma²; the new sigma is
1 / √(sum of the weights). So a sure source moves little, and an unsure one is led by the meter next door.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

from reportgen.climate.errors import ClimateError
from reportgen.climate.typical_year import TypicalYear
from reportgen.describe.assumptions import complete
from reportgen.describe.equipment import Array, Losses
from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace
from reportgen.describe.weather import NearbyArray
from reportgen.figures import Figure, show, show_number
from reportgen.production.chain import produce
from reportgen.sizing import DC_TO_AC

LEAST, MOST = 0.75, 1.25      # beyond, a slip in the file is likelier than such a sky
LOSSES_SIGMA = 0.05           # what is not known of a neighbour's array: dirt, shade, age; common practice, no source
LEVEL_SIGMA = 0.04            # of a known year on level ground; common practice, no source
RULE = "mean of all ratios, each weighted with 1 / sigma²; the year as read counts as ratio 1 with its own sigma"


def calibrated(year: TypicalYear, house: House) -> TypicalYear:
    """The year with its sun brought to what `house.weather` knows of the sun nearby; the same year where nothing is.

    Raises ClimateError where a ratio lies outside 0.75 to 1.25.
    """
    known = [*_from_arrays(year, house), *_from_level(year, house)]
    if not known:
        return year
    weights = [1.0 / year.weather_sigma ** 2, *(1.0 / sigma ** 2 for _, sigma, _ in known)]
    ratios = [1.0, *(ratio for ratio, _, _ in known)]
    factor = sum(w * r for w, r in zip(weights, ratios, strict=True)) / sum(weights)
    sigma = 1.0 / sqrt(sum(weights))
    texts = "; ".join(text for _, _, text in known)
    shares = " + ".join(f"{show_number(w / sum(weights), 2)} × {show_number(r, 3)}"
                        for w, r in zip(weights, ratios, strict=True))
    figure = Figure(
        "climate.calibration", "Sun after calibration, in percent of the year as read", 100.0 * factor, "%",
        100.0 * (factor - 1.2816 * sigma), 100.0 * (factor + 1.2816 * sigma),
        f"{texts}. {shares} = {show_number(factor, 3)}; sigma from {show(100 * year.weather_sigma, '%', 1)} to "
        f"1 / √Σ(1 / sigma²) = {show(100 * sigma, '%', 1)}", (f"The house file. {RULE}", *year.sources),
        "the sun's long-term level lies in this range in eight cases of ten")
    note = (f"The sun was set by what is known nearby: {texts}. It was multiplied by {show_number(factor, 3)}, and its "
            f"uncertainty went from {show(100 * year.weather_sigma, '%', 1)} to {show(100 * sigma, '%', 1)}.")
    return replace(year.brighter(factor), weather_sigma=sigma, name=f"{year.name}, calibrated nearby",
                   notes=(*year.notes, note), figures=(*year.figures, figure),
                   sigma_is=f"{year.sigma_is}; then {RULE}: {texts}")


def modelled_kwh(array: NearbyArray, house: House, year: TypicalYear) -> float:
    """What an array nearby would make in a typical year of `year`, with the default losses and no limit beyond usual."""
    face = RoofFace(name="nearby", azimuth_deg=array.facing_deg, slope_deg=array.slope_deg, mounting=array.mounting)
    alone = house.model_copy(update={
        "roof": [face], "losses": Losses(), "horizon": None, "obstacles": [],
        "array": Array(array_kw=array.power_kw, inverter_kw=array.power_kw / DC_TO_AC)})
    return produce(complete(alone)[0], year).year.value


def _from_arrays(year: TypicalYear, house: House):
    """(ratio, sigma, text) of all arrays together, or nothing."""
    arrays = house.weather.nearby_arrays
    if not arrays:
        return
    ratios, texts = [], []
    for array in arrays:
        model = modelled_kwh(array, house, year)
        name = array.name or f"{show(array.power_kw, 'kW')} facing {show(array.facing_deg, '°')}"
        texts.append(f"{name} made {show(array.year_kwh, 'kWh', 0)} in {array.year}, modelled {show(model, 'kWh', 0)}, ratio "
                     f"{show_number(array.year_kwh / model, 3)}")
        ratios.append(_sane(array.year_kwh / model, f"the array nearby ({name}) made {show(array.year_kwh, 'kWh', 0)} in "
                            f"{array.year}; {show(model, 'kWh', 0)} would be usual there",
                            "power_kw, facing, slope_deg and year_kwh of weather.nearby_arrays"))
    # A year's weather is one for all arrays that were read in it; an array's own losses are the same in all its years.
    years = len({array.year for array in arrays})
    different = len({(a.name, a.power_kw, a.facing_deg, a.slope_deg) for a in arrays})
    sigma = sqrt(year.year_to_year_sigma ** 2 / years + LOSSES_SIGMA ** 2 / different)
    how = (f"sigma √({show_number(100 * year.year_to_year_sigma, 1)}² / {years} + {100 * LOSSES_SIGMA:g}² / {different}) = "
           f"{show(100 * sigma, '%', 1)} (year to year, and losses nobody knows)")
    yield sum(ratios) / len(ratios), sigma, "; ".join((*texts, how))


def _from_level(year: TypicalYear, house: House):
    known = house.weather.annual_horizontal_kwh_m2
    if known is None:
        return
    level = float(year.ghi_w_m2.sum()) / 1000.0
    ratio = _sane(known / level, f"weather.annual_horizontal_kwh_m2 says {show(known, 'kWh/m²')}; {year.name} has "
                  f"{show(level, 'kWh/m²')}", "that number: it is a whole year on level ground, not a day or a slope")
    yield ratio, LEVEL_SIGMA, (f"known on level ground {show(known, 'kWh/m²')}, as read {show(level, 'kWh/m²')}, ratio "
                               f"{show_number(ratio, 3)}, sigma {100 * LEVEL_SIGMA:g} %")


def _sane(ratio: float, found: str, check: str) -> float:
    if not LEAST <= ratio <= MOST:
        raise ClimateError(f"{found}: a ratio of {ratio:.2f}, and {LEAST:g} to {MOST:g} is what a sky can explain. Check {check}.")
    return ratio
