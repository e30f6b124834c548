"""What can be wrong with a house's use, found only once weather and readings are there."""

from __future__ import annotations


class UseError(ValueError):
    """What the house uses can't be known: what was found, what is expected, how to mend it."""
