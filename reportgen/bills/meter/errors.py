"""What can be wrong with a meter file. Each message is one sentence or two for the person who wrote the house file.

A message names lines, counts, times and kinds of fault. It never repeats a cell, a title, a link or the file's name:
those may hold a household's name, address, account or meter number.
"""

from __future__ import annotations


class MeterFileError(ValueError):
    """A meter file that can't be used: what was found, what is expected, how to mend it."""
