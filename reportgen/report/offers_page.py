"""What the part about the offers in hand shows: one plain sentence each, then the table, then what was found on each paper."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.assessment import Assessment
from reportgen.figures import show
from reportgen.payback.offers_result import Finding, OfferFound, OfferRow
from reportgen.report.money_words import company_sentence, end_sentence, fee_sentence, where_it_ends

OFFERS_A_TABLE = 4
_WEIGHTS = (("differs", "The paper and this report differ"), ("beside", "Set beside prices elsewhere"), ("ask", "Not to be told from the paper: ask"),
            ("agrees", "The paper and this report agree"))


@dataclass(frozen=True)
class OfferTold:
    offer: OfferFound
    lead: str                                              # what the paper hides, for readers who hate numbers
    end: str                                               # where it ends against doing nothing
    also: str                                              # where it would end with one thing otherwise; "" where nothing is open
    groups: tuple[tuple[str, tuple[Finding, ...]], ...]    # title, findings


@dataclass(frozen=True)
class OffersPage:
    tables: tuple[tuple[str, tuple[str, ...], tuple[OfferRow, ...]], ...]   # caption, labels, rows
    notes: tuple[str, ...]
    told: tuple[OfferTold, ...]


def offers_page(assessment: Assessment) -> OffersPage | None:
    """None without offers."""
    table, horizon = assessment.offer_table, assessment.payback.horizon_years
    if table is None:
        return None
    count = len(table.labels)
    parts = [slice(k, k + OFFERS_A_TABLE) for k in range(0, count, OFFERS_A_TABLE)]
    tables = tuple((_caption(n, len(parts)), table.labels[part], tuple(OfferRow(row.label, row.texts[part]) for row in table.rows))
                   for n, part in enumerate(parts, start=1))
    told = tuple(OfferTold(offer, _lead(offer), _end(offer, horizon), _otherwise(offer), _groups(offer)) for offer in assessment.offers)
    return OffersPage(tables, table.notes, told)


def _caption(number: int, count: int) -> str:
    return "The offers, side by side" + (f" ({number} of {count})" if count > 1 else "")


def _end(offer: OfferFound, horizon: int) -> str:
    return (f"With what else this report counts, {horizon} years of it cost {offer.whole_cost_today.text()} in today's money. "
            f"{end_sentence(offer.net_present_value, horizon)}")


def _otherwise(offer: OfferFound) -> str:
    said = []
    if offer.worth_with_room is not None:
        said.append("It has more modules than this report finds room for; with those that have room, at "
                    f"the full payments, it ends {where_it_ends(offer.worth_with_room)}. Nobody should pay for modules that find no room: "
                    "ask for a new price.")
    if offer.if_in_cash is not None:
        said.append(f"The same array paid in cash at the paper's price would end {where_it_ends(offer.if_in_cash)}.")
    if offer.if_lifted is not None:
        said.append("The lifting for a new roof is counted as yours, since the paper does not say; if the company pays for it: "
                    f"{where_it_ends(offer.if_lifted)}.")
    if offer.with_inverter is not None:
        who = "The company" if offer.owner == "the company" else "The warranty"
        said.append(f"{who} is taken to pay for a new inverter; if you do: {where_it_ends(offer.with_inverter)}.")
    return " ".join(said)


def _lead(offer: OfferFound) -> str:
    if offer.owner == "the company":
        return company_sentence(_month(offer.first_payment), _month(offer.last_payment), "a month", offer.total_paid.text())
    if offer.principal is None:
        return f"One price, {offer.total_paid.text()}, paid once: no loan, and nothing is added for paying later."
    if offer.markup is None:
        lead = f"{offer.principal.text()} is borrowed; without a cash price on the paper no one can tell how much of it is a fee."
    elif offer.markup.value > 0.5:
        lead = fee_sentence(offer.markup.text(), offer.principal.text(), offer.named_fee_percent)
    else:
        lead = f"{offer.principal.text()} is borrowed, no more than the price in cash."
    if offer.later_payment is not None:
        lead += (f" The payment of {_month(offer.first_payment)} a month rises to {_month(offer.later_payment)} unless "
                 f"{offer.lump_sum.text()} is paid in by month {offer.lump_sum_month}.")
    otherwise = f" if it is not, and to {offer.total_if_paid_in.text()} if it is" if offer.total_if_paid_in is not None else ""
    return f"{lead} All payments come to {offer.total_paid.text()}{otherwise}, in each year's own money."


def _month(figure) -> str:
    return show(figure.value, figure.unit.partition("/")[0], 0)


def _groups(offer: OfferFound) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
    found = ((title, tuple(f for f in offer.findings if f.weight == weight)) for weight, title in _WEIGHTS)
    return tuple((title, findings) for title, findings in found if findings)
