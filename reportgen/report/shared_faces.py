"""Whether it is known which modules feed an inverter: not where several inverters take the same face."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from reportgen.production.result import InverterShare

SHARED = "split between inverters not known"


def split_is_known(faces: Iterable[str], inverters: Sequence[InverterShare]) -> bool:
    """True where each of these faces feeds one kind of inverter alone."""
    takers = [name for share in inverters for name in share.faces]
    return all(takers.count(name) <= 1 for name in faces)
