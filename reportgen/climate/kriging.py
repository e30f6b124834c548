"""A smooth field through scattered values on the globe: a Gaussian process with a linear trend (universal kriging).

Covariance falls with the straight-line distance through the Earth, which is within 1 % of the arc up to 3,000 km.
"""

from __future__ import annotations

import numpy as np

EARTH_RADIUS_KM = 6371.0


def distance_km(lat_a, lon_a, lat_b, lon_b) -> np.ndarray:
    """Distances between two sets of places [km], shape (a, b)."""
    return np.sqrt(((_vector(lat_a, lon_a)[:, None, :] - _vector(lat_b, lon_b)[None, :, :]) ** 2).sum(axis=2))


class Field:
    """The field through `values` (places, columns) at known places, and how sure it is elsewhere.

    trend: (places, terms), fitted by generalised least squares. covariance: function of distance [km], 1 at 0.
    noise: standard deviation of what is the place's own, as a share of the field's.
    """

    def __init__(self, latitude, longitude, values, trend, covariance, noise: float):
        self._places = np.asarray(latitude, dtype=float), np.asarray(longitude, dtype=float)
        self._covariance, self._noise = covariance, noise
        values = np.asarray(values, dtype=float).reshape(len(self._places[0]), -1)
        matrix = covariance(distance_km(*self._places, *self._places)) + noise**2 * np.eye(len(values))
        self._inverse = np.linalg.inv(matrix)
        self._inverse_trend = self._inverse @ trend
        self._precision = np.linalg.inv(trend.T @ self._inverse_trend)
        self.slope = self._precision @ (self._inverse_trend.T @ values)      # (terms, columns)
        self._weights = self._inverse @ (values - trend @ self.slope)

    def at(self, latitude, longitude, trend) -> tuple[np.ndarray, np.ndarray]:
        """Values (places, columns), and the standard deviation (places,) in units of the field's own."""
        near = self._covariance(distance_km(latitude, longitude, *self._places))
        values = trend @ self.slope + near @ self._weights
        rest = trend - near @ self._inverse_trend
        variance = (1.0 + self._noise**2 - np.einsum("ij,jk,ik->i", near, self._inverse, near)
                    + np.einsum("ij,jk,ik->i", rest, self._precision, rest))
        return values, np.sqrt(np.maximum(variance, 0.0))


def leave_one_out(latitude, longitude, values, trend, covariance, noise: float,
                  apart_km: float) -> tuple[np.ndarray, np.ndarray]:
    """Error (places, columns) at each place when it and all within `apart_km` are left out, and the field's own sigma."""
    latitude, longitude = np.asarray(latitude, dtype=float), np.asarray(longitude, dtype=float)
    values = np.asarray(values, dtype=float).reshape(len(latitude), -1)
    apart = distance_km(latitude, longitude, latitude, longitude)
    errors, sigma = np.empty_like(values), np.empty(len(latitude))
    for k in range(len(latitude)):
        kept = apart[k] > apart_km
        field = Field(latitude[kept], longitude[kept], values[kept], trend[kept], covariance, noise)
        found, spread = field.at(latitude[k:k + 1], longitude[k:k + 1], trend[k:k + 1])
        errors[k], sigma[k] = found[0] - values[k], spread[0]
    return errors, sigma


def _vector(latitude, longitude) -> np.ndarray:
    phi, lam = np.radians(np.atleast_1d(latitude).astype(float)), np.radians(np.atleast_1d(longitude).astype(float))
    return EARTH_RADIUS_KM * np.stack([np.cos(phi) * np.cos(lam), np.cos(phi) * np.sin(lam), np.sin(phi)], axis=1)
