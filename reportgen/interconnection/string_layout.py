"""Whether a number of modules can be put into strings on an inverter's inputs, and which numbers near it could.

An input that follows the power of its own strings (a tracker) takes one string, or several of equal length side by
side. Different inputs may carry different lengths. Arithmetic; that unequal strings do not share an input is common
practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Inputs:
    """What the strings of one inverter have to keep to; several equal inverters count as one with all their inputs."""

    fewest: int                # modules a string, at least
    most: int                  # modules a string, at most
    trackers: int
    side_by_side: int          # strings on one tracker, at most
    inverters: int = 1         # each with a string, where the modules allow it


@dataclass(frozen=True)
class OnTracker:
    strings: int               # side by side
    length: int                # modules in each

    @property
    def modules(self) -> int:
        return self.strings * self.length


def split_all(counts: list[int], inputs: Inputs) -> list[tuple[OnTracker, ...]] | None:
    """Each count (modules of one direction and slope) in strings on trackers of its own; None where they do not all go.

    As few strings side by side as the trackers allow, then as few trackers as possible.
    """
    for side in range(1, inputs.side_by_side + 1):
        found = [split(count, inputs, side) for count in counts]
        if None not in found and sum(map(len, found)) <= inputs.trackers:
            return _with_every_inverter(counts, found, inputs, side)
    return None


def _with_every_inverter(counts, found, inputs: Inputs, side: int):
    idle = inputs.inverters - sum(map(len, found))
    if idle > 0 and counts:
        largest = counts.index(max(counts))
        found[largest] = split(counts[largest], inputs, side, len(found[largest]) + idle) or found[largest]
    return found


def fewest_trackers(count: int, inputs: Inputs) -> int | None:
    """Trackers that `count` modules of one direction and slope need at least; None where no number does."""
    found = split(count, inputs, inputs.side_by_side)
    return None if found is None else len(found)


def split(count: int, inputs: Inputs, side_by_side: int, at_least: int = 1) -> tuple[OnTracker, ...] | None:
    """`count` modules on the fewest trackers, `at_least` so many, the largest first; None where none go."""
    sizes = _sizes(count, inputs, side_by_side)
    reach = [1]                                   # bit n of reach[t]: n modules go on just t trackers
    while len(reach) <= at_least or not reach[-1] >> count & 1:
        if len(reach) > inputs.trackers or len(reach) * inputs.fewest > count:
            return None
        reach.append(_one_more(reach[-1], sizes, count))
    found, left = [], count
    for trackers in range(len(reach) - 1, 0, -1):
        fits = [n for n in sizes if n <= left and reach[trackers - 1] >> left - n & 1]
        n = min(fits, key=lambda size: (abs(size - left / trackers), -size))    # as even as can be
        found.append(sizes[n])
        left -= n
    return tuple(sorted(found, key=lambda on: (-on.modules, on.strings)))


def nearby(count: int, inputs: Inputs) -> tuple[int, ...]:
    """The nearest smaller and the nearest larger number of modules that the inputs could take alone."""
    end = count + inputs.most
    sizes = _sizes(end, inputs, inputs.side_by_side)
    whole = reach = 1
    for trackers in range(1, inputs.trackers + 1):
        if trackers * inputs.fewest > end:
            break
        reach = _one_more(reach, sizes, end)
        whole |= reach
    below = next((n for n in range(count - 1, 0, -1) if whole >> n & 1), None)
    above = next((n for n in range(count + 1, end + 1) if whole >> n & 1), None)
    return tuple(n for n in (below, above) if n is not None)


def _sizes(end: int, inputs: Inputs, side_by_side: int) -> dict[int, OnTracker]:
    """Modules that one tracker can take, up to `end`, each in as few strings as possible."""
    sizes: dict[int, OnTracker] = {}
    for strings in range(1, side_by_side + 1):
        for length in range(inputs.fewest, min(inputs.most, end // strings) + 1):
            sizes.setdefault(strings * length, OnTracker(strings, length))
    return sizes


def _one_more(reach: int, sizes: dict[int, OnTracker], end: int) -> int:
    more = 0
    for n in sizes:
        more |= reach << n
    return more & (1 << end + 1) - 1


def in_words(split_up: tuple[OnTracker, ...]) -> str:
    """'2 strings of 7', '1 string of 8 and 1 string of 7', '2 strings of 7 side by side on one input'."""
    parts, on = [], list(dict.fromkeys(split_up))
    for one in on:
        times = split_up.count(one)
        strings = times * one.strings
        words = f"{strings} {'string' if strings == 1 else 'strings'} of {one.length}"
        if one.strings > 1:
            words += (" side by side on one input" if times == 1 else
                      f", {one.strings} side by side on each of {times} inputs")
        parts.append(words)
    text = " and ".join(parts)
    alone = len(split_up) > 1 and all(one.strings == 1 for one in on)
    return text + (", each on an input of its own" if alone else "")
