"""Where the year of sun and air comes from, as the house file says it."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from reportgen.describe.fields import Section, ShortText


class Weather(Section):
    source: Literal["atlas", "file"] = "atlas"
    """The embedded worldwide table, or a weather file beside the house file."""
    file: ShortText | None = None
    """Path of the weather file, inside the batch folder (TMY3, TMY2 or EPW)."""

    @model_validator(mode="after")
    def _check(self):
        if (self.source == "file") != (self.file is not None):
            raise ValueError('write source: file together with file: "weather/NAME", or neither')
        return self
