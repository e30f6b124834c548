"""Photos that the coach took, named by the file in the batch's own folder."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reportgen.describe.fields import Section

FILE_NAME = r"^[A-Za-z0-9_-][A-Za-z0-9_. -]{0,79}\.(jpg|jpeg|png|JPG|JPEG|PNG)$"


class Photo(Section):
    file: Annotated[str, Field(pattern=FILE_NAME)]
    """Name of a JPEG or PNG in the folder photos/ beside the house file."""
    shows: Literal["panel label", "main breaker", "whole panel", "meter", "roof", "wall for the inverter"]
    """What it shows."""
    share: bool = False
    """Whether it may stand in what is shared; otherwise only the coach's own copy shows it."""
