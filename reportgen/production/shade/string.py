"""What a string loses beyond its shaded area: modules in one string hold each other back, small units do not.

The rule for a shadow that covers the share f of a string: the beam that is left, 1 − f, counts 1 − f times once more.
That is equation 6 of Martínez-Moreno, Muñoz and Lorenzo (Solar Energy Materials and Solar Cells 94, 2010, 2298-2303),
as `pvlib.shading.direct_martinez` has it, for a string of many blocks of cells. The horizon takes the sun from all
modules at once and holds nobody back.
"""

from __future__ import annotations

import numpy as np

SOURCE = ("Martínez-Moreno, Muñoz and Lorenzo, Solar Energy Materials and Solar Cells 94 (2010) 2298-2303, equation 6, for "
          "many blocks of cells; held against NREL/TP-5200-54876 (2012, abstract): units under each module gave 3.7, 7.8 "
          "and 12.3 % more in a year under light, moderate and heavy shade")
MOST_GAIN = 0.123         # of module-level units over a string in a year under heavy shade: NREL/TP-5200-54876
UNSURE = 0.5              # one standard deviation, as a share of the loss itself; common practice, no source


def beam_held(open_share):
    """Beam that counts in a string, as a share of the unshaded beam. open_share: what obstacles leave of it, 0 to 1."""
    return np.square(open_share)


def held_by_percent(percents) -> np.ndarray:
    """What a string keeps of a month's light beyond shade told as a percentage, 0.89 to 1.

    Nobody knows the shadow's shape then. Where it covers every share of the string equally often, the rule takes one
    third as much again: the mean of f (1 − f) is 1/6, that of f is 1/2. Never more than the most that was measured.
    """
    shade = np.asarray(percents, dtype=float) / 100.0
    extra = np.divide(shade / 3.0, 1.0 - shade, out=np.ones_like(shade), where=shade < 1.0)
    return 1.0 - np.minimum(extra, 1.0 - 1.0 / (1.0 + MOST_GAIN))
