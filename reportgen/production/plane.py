"""Sun on a tilted plane: beam, sky and ground, and what the glass lets through.

pvlib does the physics; this file keeps the parts apart, since glass reflects each of them differently.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from pvlib import atmosphere, iam, irradiance

from reportgen.climate.sun import SunPath, sun_path

ALBEDO = 0.2          # share of sunlight that grass and streets throw back; common practice, no source
SKIES = ("haydavies", "isotropic", "perez")
SKY_SOURCE = ("Hay and Davies 1980, anisotropic sky; from global horizontal data its mean bias was typically the "
              "smallest (SAND2014-16367J, abstract)")
GLASS_SOURCE = ("Refraction and absorption in plain glass, index 1.526, 2 mm, 4 per metre (De Soto, Klein and Beckman, "
                "Solar Energy 80, 2006); sky and ground by integration over their part of the sphere (Marion, "
                "Solar Energy 147, 2017)")


@dataclass(frozen=True, eq=False)
class FaceGeometry:
    """What depends on the plane and the sun alone. Arrays as long as the sun path; read-only."""

    slope_deg: float
    azimuth_deg: float
    cos_incidence: np.ndarray     # between ray and plane's normal; 0 where the sun is behind the plane
    beam_ratio: np.ndarray        # beam on the plane / beam on level ground
    beam_modifier: np.ndarray     # share of the beam that passes the glass, 1 at right angles
    sky_modifier: float           # the same for light of an even sky
    ground_modifier: float        # the same for light from the ground


@dataclass(frozen=True, eq=False)
class PlaneLight:
    """Irradiance on the plane [W/m²], by where it comes from."""

    beam: np.ndarray
    circumsolar: np.ndarray       # sky light from around the sun; reflected like the beam
    sky: np.ndarray
    ground: np.ndarray

    @property
    def total(self) -> np.ndarray:
        return self.beam + self.circumsolar + self.sky + self.ground

    def shaded(self, beam, sky) -> PlaneLight:
        """What is left where shade leaves these shares of the beam and of the sky; light from the ground stays."""
        return PlaneLight(self.beam * beam, self.circumsolar * beam, self.sky * sky, self.ground)

    def behind_glass(self, geometry: FaceGeometry) -> np.ndarray:
        """What is left after reflection at a slant [W/m²]."""
        return ((self.beam + self.circumsolar) * geometry.beam_modifier
                + self.sky * geometry.sky_modifier + self.ground * geometry.ground_modifier)


def incidence_deg(slope_deg, azimuth_deg, zenith_deg, sun_azimuth_deg):
    """Angle between the sun's ray and the plane's normal [°]. Azimuths clockwise from north."""
    cosine = irradiance.aoi_projection(slope_deg, azimuth_deg, zenith_deg, sun_azimuth_deg)
    return np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))


def geometry(slope_deg: float, azimuth_deg: float, sun: SunPath) -> FaceGeometry:
    """The plane against every position of `sun`."""
    incidence = incidence_deg(slope_deg, azimuth_deg, sun.apparent_zenith_deg, sun.azimuth_deg)
    cos_incidence = np.maximum(np.cos(np.radians(incidence)), 0.0)
    # Near the horizon the ratio grows without bound; it is held at a zenith of 89°, as pvlib does.
    cos_zenith = np.maximum(np.cos(np.radians(sun.apparent_zenith_deg)), 0.01745)
    beam_modifier = np.where(cos_incidence > 0, glass_modifier(np.minimum(incidence, 90.0)), 0.0)
    arrays = (cos_incidence, cos_incidence / cos_zenith, beam_modifier)
    for array in arrays:
        array.setflags(write=False)
    return FaceGeometry(slope_deg, azimuth_deg, *arrays, *_diffuse_modifiers(slope_deg))


@lru_cache(maxsize=64)
def face_geometry(latitude: float, longitude: float, utc_offset_h: float, elevation_m: float,
                  slope_deg: float, azimuth_deg: float) -> FaceGeometry:
    """`geometry` over the model year; kept, since a house is computed some thirty times."""
    return geometry(slope_deg, azimuth_deg, sun_path(latitude, longitude, utc_offset_h, elevation_m))


def glass_modifier(incidence_deg):
    """Share of light that passes the glass at this incidence, against light at right angles. Source: GLASS_SOURCE."""
    return iam.physical(incidence_deg)


@lru_cache(maxsize=256)
def _diffuse_modifiers(slope_deg: float) -> tuple[float, float]:
    found = iam.marion_diffuse("physical", slope_deg)
    return float(found["sky"]), float(found["ground"])


def plane_light(plane: FaceGeometry, sun: SunPath, ghi_w_m2, dni_w_m2, dhi_w_m2, *, sky: str = "haydavies",
                albedo: float = ALBEDO) -> PlaneLight:
    """Irradiance on the plane, part by part.

    sky: "haydavies" (anisotropic; what reports use), "isotropic" (an even sky), "perez" (anisotropic).
    """
    ground = irradiance.get_ground_diffuse(plane.slope_deg, ghi_w_m2, albedo)
    circumsolar, even = _sky_light(plane, sun, dni_w_m2, dhi_w_m2, sky)
    return PlaneLight(dni_w_m2 * plane.cos_incidence, circumsolar, even, ground)


def _sky_light(plane: FaceGeometry, sun: SunPath, dni, dhi, sky: str):
    """(from around the sun, from the rest of the sky) [W/m²]."""
    if sky == "haydavies":
        found = irradiance.haydavies(plane.slope_deg, plane.azimuth_deg, dhi, dni, sun.extraterrestrial_w_m2,
                                     projection_ratio=plane.beam_ratio, return_components=True)
        return found["poa_circumsolar"], found["poa_isotropic"]
    if sky == "isotropic":
        return np.zeros_like(dhi), irradiance.isotropic(plane.slope_deg, dhi)
    if sky == "perez":
        with np.errstate(invalid="ignore"):
            air_mass = atmosphere.get_relative_airmass(sun.apparent_zenith_deg)
            found = irradiance.perez(plane.slope_deg, plane.azimuth_deg, dhi, dni, sun.extraterrestrial_w_m2,
                                     sun.apparent_zenith_deg, sun.azimuth_deg, air_mass, return_components=True)
        whole = np.nan_to_num(found["poa_sky_diffuse"])
        around_sun = np.clip(np.nan_to_num(found["poa_circumsolar"]), 0.0, whole)
        return around_sun, whole - around_sun
    raise ValueError(f"no sky model {sky!r}; there are {', '.join(SKIES)}")
