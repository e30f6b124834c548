"""What can be wrong with a place or a weather file. Each message is a sentence for the person who wrote the house file."""

from __future__ import annotations


class ClimateError(ValueError):
    """No year of sun can be given for this place; the message says why and what to do instead."""


class WeatherFileError(ClimateError):
    """A weather file that can't be used; the message names the file, what was found and how to mend it."""
