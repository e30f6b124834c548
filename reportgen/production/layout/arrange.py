"""Which of the places are taken: the whole rows, an even block, or a wanted number in the best rows."""

from __future__ import annotations

from math import ceil

from reportgen.production.layout.rows import SLACK, Placed, Rows


def arranged(rows: Rows, wanted: int | None) -> tuple[Placed, ...]:
    """Modules in reading order, the top row first, each row from the left.

    wanted: how many, at most as many as fit; None for all that fit. A number that an even block holds is laid out as
    one: as many rows as make them equal, else as few as hold it, the last row the shorter one; near the top. A larger
    number fills the rows that hold the most: unbroken ones first, then the longest, then the highest.
    """
    if wanted is not None and (block := even_block(rows, wanted)) is not None:
        return block
    lines = rows.most()
    if wanted is not None:
        lines = _best_first(lines, wanted)
    return _aligned(rows, lines)


def tidy_count(rows: Rows) -> int:
    """Modules of the largest even block."""
    return max((count * columns for count, (columns, _, _) in rows.blocks().items()), default=0)


def even_block(rows: Rows, wanted: int | None) -> tuple[Placed, ...] | None:
    """`wanted` modules in touching rows as equal as can be; for None the largest block of equal rows; None if none fits."""
    blocks = rows.blocks()
    if wanted is None:
        wanted = max((count * columns for count, (columns, _, _) in blocks.items()), default=0)
    if wanted == 0:
        return ()
    able = [count for count, (columns, _, _) in blocks.items() if count <= wanted and count * columns >= wanted
            and ceil(wanted / count) * (count - 1) < wanted]
    if not able:
        return None
    count = min(able, key=lambda n: (wanted % n != 0, n))
    columns, (_, top, stretch) = ceil(wanted / count), blocks[count]
    left = stretch[0] + (stretch[1] - stretch[0] - rows.length(columns)) / 2.0
    placed, pitch = [], rows.depth + rows.gap
    for k in range(wanted):
        x = left + (k % columns) * (rows.width + rows.gap)
        y = rows.heights[top] - (k // columns) * pitch
        placed.append(Placed(x, y, x + rows.width, y + rows.depth))
    return tuple(placed)


def _best_first(lines, wanted: int):
    order = sorted(range(len(lines)), key=lambda i: (len(lines[i][1]), -sum(n for _, n in lines[i][1]), i))
    kept = {}
    for i in order:
        stretches = []
        for stretch, count in sorted(lines[i][1], key=lambda part: -part[1]):
            taken = min(count, wanted)
            wanted -= taken
            if taken:
                stretches.append((stretch, taken))
        if stretches:
            kept[i] = (lines[i][0], sorted(stretches))
    return [kept[i] for i in sorted(kept)]


def _aligned(rows: Rows, lines) -> tuple[Placed, ...]:
    """Modules placed so that as many stretches as can be share their columns, from the middle of the longest."""
    parts = [(stretch, count) for _, stretches in lines for stretch, count in stretches]
    if not parts:
        return ()
    pitch = rows.width + rows.gap
    longest = max(parts, key=lambda part: part[1])
    starts = [_middle(rows, *longest), *(s[0] for s, _ in parts), *(s[1] - rows.length(n) for s, n in parts)]

    def start(phase: float, stretch, count) -> float | None:
        first = phase + ceil((stretch[0] - phase - SLACK) / pitch) * pitch
        return first if first + rows.length(count) <= stretch[1] + SLACK else None

    phase = max(starts, key=lambda p: (sum(start(p, *part) is not None for part in parts), -starts.index(p)))
    placed = []
    for k, stretches in lines:
        y = rows.heights[k]
        for stretch, count in stretches:
            x = start(phase, stretch, count)
            x = _middle(rows, stretch, count) if x is None else x
            for n in range(count):
                placed.append(Placed(x + n * pitch, y, x + n * pitch + rows.width, y + rows.depth))
    return tuple(placed)


def _middle(rows: Rows, stretch, count: int) -> float:
    return stretch[0] + (stretch[1] - stretch[0] - rows.length(count)) / 2.0
