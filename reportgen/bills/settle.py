"""The two export rules, month by month, without rounding: a bank of kWh, or credit in money.

Both bills of a house and every later year go through these functions; `bill` prints them, `path` runs 25 years.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import TypeVar

Amount = TypeVar("Amount", float, Decimal)


def settle_kwh(net_kwh: Iterable[float], reset_month: int | None, bank_kwh: float) -> Iterator[tuple[float, float, float]]:
    """One-to-one: for each month, January first, (kWh billed, kWh taken at the reset, kWh left in the bank).

    net_kwh: use less sun of each month [kWh]; negative months fill the bank, positive ones draw on it.
    reset_month: 1 to 12, the bank is emptied at the end of this month; None: never.
    """
    for month, net in enumerate(net_kwh, start=1):
        need = net - bank_kwh
        billed, bank_kwh = (need, 0.0) if need > 0 else (0.0, 0.0 - need)   # 0.0 − 0.0 is never −0.0
        taken = 0.0
        if month == reset_month:
            taken, bank_kwh = bank_kwh, 0.0
        yield billed, taken, bank_kwh


def settle_money(charge: Amount, credit: Amount, carried: Amount) -> tuple[Amount, Amount]:
    """Net billing: (energy money due in the month, credit carried to the next).

    charge: for kWh taken; credit: for kWh sent out; carried: credit from the month before. Credit pays for energy,
    never for the fixed charge; what is left is carried on in money and never paid out.
    """
    due = charge - credit - carried
    zero = charge - charge
    return (due, zero) if due > 0 else (zero, zero - due)
