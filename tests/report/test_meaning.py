"""What figures may not be made to mean: a payback without its range, a lease without its last year, a loan without its
principal, a percentage without the fixed charge, solar power whose certificates were sold."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from reportgen.figures import Figure, show, years_span
from reportgen.report.charts import draw_charts
from reportgen.report.pages import figure_text, render_house
from tests.report.built import HOUSES, assessed, page
from tests.report.money_houses import OFFERS, WAYS_DEMO, every_way, every_way_page
from tests.report.words import FORBIDDEN, forbidden_in, plain

EVERY_WAY = "every way to pay"
BLOCKS = ("p", "li", "table", "figcaption", "h3")


class Blocks(HTMLParser):
    """The text of each paragraph, entry, table and caption, as a reader takes it in at once."""

    def __init__(self, html: str):
        super().__init__()
        self.found, self._open, self._text, self._in_style = [], [], [], False
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self._in_style = self._in_style or tag == "style"
        if tag in BLOCKS:
            self._open.append(tag)

    def handle_endtag(self, tag):
        self._in_style = self._in_style and tag != "style"
        if self._open and tag == self._open[-1]:
            self._open.pop()
            if not self._open:
                self.found.append(" ".join("".join(self._text).replace("\u2060", "").replace("’", "'").split()))
                self._text = []

    def handle_data(self, data):
        if self._open and not self._in_style:
            self._text.append(data + " ")


def shown(name: str):
    return (every_way(), every_way_page()) if name == EVERY_WAY else (assessed(name), page(name))


@pytest.fixture(params=(*HOUSES, EVERY_WAY))
def house(request):
    return shown(request.param)


# The sayings themselves, so that they can be tried on a planted sentence too

def bare_paybacks(html: str) -> list[str]:
    return re.findall(r"paid back[^.;]*?\d+\.\d+ years?|paid back:? in \d+ years|pays? (?:it|itself) back in \d+ years", plain(html))


def lone_first_years(html: str, first: float, last: float, code: str, by_month_alone: bool = False) -> list[str]:
    """Blocks that name the payment of the first year, by the year or by the month, and not that of the last."""
    def forms(by_year):
        return {show(by_year / 12, code, 2), show(by_year / 12, code, 0)} | (
            set() if by_month_alone else {show(by_year, code), show(by_year, code, 0)})

    def holds(text, wanted):
        return any(re.search(rf"(?<![\d,.]){re.escape(form)}(?![\d,]|\.\d)", text) for form in wanted)
    before_workings = html[:html.index('<h2 id="workings"')]
    return [block for block in Blocks(before_workings).found if holds(block, forms(first)) and not holds(block, forms(last))]


def unfixed_percentages(html: str) -> list[str]:
    """Blocks in which a percentage is said of the bill without the charge that no sun lowers."""
    of_the_bill = re.compile(r"\d ?%[^.]{0,40}\b(?:of|off|from|on) (?:the|your|its) (?:electric(?:ity)? )?bill|"
                             r"bill[^.%]{0,40}(?:falls?|lower|less|cut|shrinks?)[^.%]{0,25}\d ?%|sav(?:e|es|ed|ing)s?[^.%]{0,25}\d ?% of the bill", re.IGNORECASE)
    return [block for block in Blocks(html).found if of_the_bill.search(block.replace("\u00a0", " ")) and "fixed" not in block.lower()]


def solar_claims(html: str) -> list[str]:
    return re.findall(r"[^.]*(?<!not be said to )\b(?:runs? on (?:solar|sun)|solar-powered|powered by (?:the sun|solar))[^.]*", plain(html))


# On every report

def test_a_payback_is_never_a_decimal_and_never_without_its_range(house):
    found, html = house
    assert not bare_paybacks(html)
    paybacks = [f for key, f in found.figures.items() if f.unit == "years" and key.endswith("payback")]
    assert len(paybacks) >= 5
    for figure in paybacks:
        assert all(end is None or end == int(end) for end in (figure.low, figure.value, figure.high)), figure.key
        assert figure.value is None or figure.low is not None, figure.key
        assert figure_text(figure, found) == years_span(figure.low, figure.high, found.payback.horizon_years)


def test_a_first_years_payment_never_stands_without_the_lasts(house):
    found, html = house
    code = found.payback.currency
    for way in found.payback.ways_to_pay:
        if way.owner == "the company":
            assert {way.first_year_paid.key, way.last_year_paid.key} <= set(found.figures)
            assert not lone_first_years(html, way.first_year_paid.value, way.last_year_paid.value, code)
    for offer in found.offers:
        if offer.owner == "the company":
            assert {offer.first_payment.key, offer.last_payment.key} <= set(found.figures)
            assert not lone_first_years(html, 12 * offer.first_payment.value, 12 * offer.last_payment.value, code, by_month_alone=True)


def test_no_cost_stands_below_a_loans_principal_without_the_loans_line(house):
    found, html = house
    text = plain(html)
    for way in found.payback.ways_to_pay:
        if way.principal is not None:
            assert way.total_paid.value >= way.principal.value > 0
            table = next(b for b in Blocks(html).found if b.startswith("The ways to pay") and way.name.lower() in b.lower())
            assert "Amount financed" in table and show(way.principal.value, way.principal.unit) in table
            assert way.hidden_fee is None or way.hidden_fee.value < 0.5 or show(way.hidden_fee.value, way.hidden_fee.unit) in table
    for offer in found.offers:
        if offer.principal is not None:
            assert offer.total_paid.value >= offer.principal.value > 0
            table = next(b for b in Blocks(html).found if b.startswith("The offers, side by side"))
            assert "Amount financed" in table and show(offer.principal.value, offer.principal.unit, 0) in table
    assert not re.search(r"net cost|cost after (?:the )?(?:tax )?credits?|effective price", text)


def test_a_percentage_of_the_bill_does_not_forget_the_fixed_charge(house):
    found, html = house
    assert not unfixed_percentages(html)
    assert not [f.key for f in found.figures.values()
                if f.unit == "%" and re.search(r"\bsaved?\b|\bbill\b", f.label.lower()) and "fixed" not in (f.label + f.formula).lower()]


def test_nobody_is_told_to_run_on_solar_power(house):
    """Where certificates are sold the claim is sold with them; where they are kept this report leaves it to the household."""
    assert not solar_claims(house[1])


def test_money_is_said_to_be_nominal_once(house):
    assert plain(house[1]).count("all money is nominal") == 1


# Each rule finds what it is for

@pytest.mark.parametrize("rule, sentence", [
    (bare_paybacks, "The array is paid back within 9.4 years."),
    (bare_paybacks, "It is paid back in 9 years."),
    (lambda html: lone_first_years(html, 1200.0, 2383.0, "USD"), "You pay $100.00 a month and own nothing."),
    (lambda html: lone_first_years(html, 1200.0, 2383.0, "USD"), "You pay only $1,200 in year 1."),
    (unfixed_percentages, "It takes 90 % off your bill."),
    (unfixed_percentages, "The bill falls by 87 %."),
    (solar_claims, "Your house runs on solar."),
])
def test_a_planted_sentence_is_found(rule, sentence):
    clean, planted = (f'<p>{said}</p><h2 id="workings"></h2>' for said in ("Nothing is said.", sentence))
    assert rule(planted) and not rule(clean)


def test_the_same_said_in_full_passes():
    assert not lone_first_years('<p>$100.00 a month, $198.58 in the last year</p><h2 id="workings">', 1200.0, 2383.0, "USD")
    assert not unfixed_percentages("<p>The bill falls by 87 %, the fixed charge stays.</p>")
    assert not solar_claims("<p>The house may not be said to run on solar power.</p>")


@pytest.mark.parametrize("phrase", FORBIDDEN)
def test_a_forbidden_phrase_is_found_through_tags_and_no_break_spaces(phrase):
    first, _, rest = phrase.partition(" ")
    assert phrase in forbidden_in(f"<p>It {first.upper()}{chr(0xa0) if rest else ''}<b>{rest}</b> now</p>")


# What the parts about money show

def test_yearly_cash_and_worth_come_before_any_payback():
    text = plain(page(OFFERS))
    part = text[text.index("paying for it in its first year"):]
    assert part.index("in its first year the array leaves") < part.index("in today's money") < part.index("paid back:")


def test_an_offer_opens_with_its_hidden_part_in_plain_words():
    found, html = shown(OFFERS)
    text = plain(html)
    part = text[text.index("the offers you hold each offer"):]
    table = part.index("the offers, side by side")
    loan = next(offer for offer in found.offers if offer.markup is not None and offer.markup.value > 0)
    lease = next(offer for offer in found.offers if offer.kind == "lease")
    assert -1 < part.find(f"you borrow {loan.markup.text()} more than the same array costs in cash") < table
    assert -1 < part.find("the array is not yours") < table
    for offer in (loan, lease):
        for finding in offer.findings:
            assert plain(finding.sentence) in part
        for said in (*offer.missing, *offer.questions):
            assert plain(said) in part


def test_a_house_without_offers_has_no_part_for_them():
    html = page(WAYS_DEMO)
    assert 'id="offers"' not in html and "The offers you hold" not in html


def test_every_payment_of_every_way_is_listed():
    found, html = shown(EVERY_WAY)
    text = plain(html)
    for way in found.payback.ways_to_pay:
        for one in way.instalments:
            assert plain(f"{one.label}: {show(one.per_month, found.payback.currency, 2)}") in text


def test_doing_nothing_is_a_column_of_its_own():
    found, html = shown(EVERY_WAY)
    tables = [b for b in Blocks(html).found if b.startswith("The ways to pay, side by side")]
    assert len(tables) == 2
    nothing = found.payback.do_nothing
    for table in tables:
        assert "Doing nothing" in table and "All bills of 25 years, middle case " + show(nothing.total.value, "USD") in table
    assert nothing.total.value == pytest.approx(sum(y.bill_before for y in found.payback.middle.years))
    assert {f.key for f in nothing.figures} <= set(found.figures)


def test_the_columns_of_the_cash_table_add_up():
    """With insurance and taking down the table has a column for them."""
    found, html = shown(EVERY_WAY)
    assert "Insurance, tax, taking down" in html
    for y in found.payback.middle.years:
        assert y.bill_before - y.bill_after + y.upkeep + y.holding + y.purchase + y.replacement + y.incentive == pytest.approx(y.net)
    for way in found.payback.ways_to_pay:
        for year, net in enumerate(way.net_by_year[1]):
            assert sum(line.by_year[year] for line in way.lines) == pytest.approx(net)


def test_cautions_stand_at_a_long_contract_and_what_was_not_counted_is_named():
    found, html = shown(EVERY_WAY)
    text = plain(html)
    for way in found.payback.ways_to_pay:
        for said in way.cautions:
            assert plain(said) in text
        for note in way.notes:
            assert plain(note)[1:] in text
    assert "what was not counted." in plain(page(OFFERS))


def test_an_incentive_says_what_happens_if_the_law_changes():
    found, html = shown(OFFERS)
    changes = [f.if_law_changes for f in found.payback.incentives if f.if_law_changes]
    assert changes and all(plain(said) in plain(html) for said in changes)


def test_what_if_is_plain_tables_with_every_cell():
    found, html = shown(OFFERS)
    text = plain(html)
    for table in found.grid.tables:
        for row in table.rows:
            for cell in row:
                assert plain(f"{show(cell.net_present_value, found.grid.currency)}; "
                             f"{years_span(*cell.payback_years, found.grid.horizon_years)}") in text


def test_emissions_are_told_to_families_who_ask_alone():
    assert "Emissions avoided</h3>" in every_way_page() and "Emissions avoided</h3>" not in page(OFFERS)


def test_without_one_rate_of_return_the_reason_stands_in_its_place():
    found = assessed(OFFERS)
    none = Figure(**{**{f: getattr(found.payback.internal_rate, f) for f in Figure.__slots__}, "value": None, "low": None, "high": None})
    html = render_house(replace(found, payback=replace(found.payback, internal_rate=none)), {})
    assert "can't be named in the middle case" in plain(html) and "earn not known" not in plain(html)


def test_ways_and_offers_are_drawn_on_one_axis_each():
    assert {"ways", "joint"} <= set(draw_charts(every_way())) and "offers" not in draw_charts(every_way())
    charts = draw_charts(assessed(OFFERS))
    assert "offers" in charts and "ways" not in charts
    for offer in assessed(OFFERS).offers:
        assert sum(offer.worth_by_year) == pytest.approx(offer.net_present_value.value)
        assert offer.net_present_value.text() in charts["offers"]
