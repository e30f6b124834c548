"""The colours of a report, one meaning each, spelled as they stand in the pictures' attributes.

The page's dark scheme recolours by attribute (``[fill="#332288"]``), so the spelling here is the spelling there.
Contrast on white, as WCAG 2.2 counts it: shapes need 3:1, small text 4.5:1. Vermilion and teal pass for shapes alone
and share one grey in print: coloured text takes the text shade, and every colour carries a second mark.
"""

from __future__ import annotations

INK = "#1F1F1C"        # text and what stands for itself
GREY = "#5C5C58"       # text of lesser weight, and shapes without a meaning of their own
RULE = "#B9B9B2"       # thin lines that only guide the eye
PAPER = "#FFFFFF"

SUN = "#332288"        # what the sun gives
USE = "#D55E00"        # what is used or paid
BANK = "#1B9E9E"       # what is stored or banked

SUN_TEXT = SUN
USE_TEXT = "#A84800"
BANK_TEXT = "#0F6E6E"

ALL = (INK, GREY, RULE, PAPER, SUN, USE, BANK, USE_TEXT, BANK_TEXT)
