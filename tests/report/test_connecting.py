"""Connecting it, the checks line by line, and who decides: everything that was found stands there, in words."""

from dataclasses import replace

import pytest

from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, Connection, Permissions, Seen
from reportgen.report.check_lines import check_lines
from reportgen.report.conditions import conditions_of
from reportgen.report.pages import questions, render_house
from tests.report.built import ELSEWHERE, assessed
from tests.report.connected import amps, check, connected, way, whole_connection
from tests.report.test_pages import Read, as_printed, words_of
from tests.report.words import FORBIDDEN


def part(html: str, begins: str, ends: str) -> str:
    return words_of(html[html.index(f'<h2 id="{begins}"'):html.index(f'<h2 id="{ends}"')])


@pytest.fixture(scope="module")
def html():
    return render_house(connected(), {})


@pytest.fixture(scope="module")
def connecting(html):
    return part(html, "connecting", "bill")


def test_it_opens_with_the_stop_and_then_the_sentence_for_a_neighbour(connecting):
    assert connecting.startswith("Connecting it For the electrician first. The label was read twice with two numbers. ")
    assert connecting.index("nothing more. What stands above comes before every sum.") < connecting.index("The ways to connect that were tried")


def test_fits_by_arithmetic_is_explained_at_its_first_use(connecting):
    assert "“Fits by arithmetic” means that the sum of ratings works out; nothing more." in connecting


def without_stop():
    return replace(whole_connection(), findings=())


def told(connection):
    return part(render_house(replace(connected(), connection=connection), {}), "connecting", "bill")


def test_the_sums_stand_below_the_heading_for_the_trade(connecting):
    assert connecting.index("For whoever knows the trade") < connecting.index("Does not fit: 200 A + 60 A = 260 A, at most 240 A.")


def test_beside_a_stop_nothing_is_free_and_nothing_stays_as_it_is():
    as_it_is = way("rule_120", changes_nothing=True)
    stopped = replace(whole_connection(), ways=(as_it_is,), chosen=as_it_is)
    text = told(stopped)
    assert "Way rule_120 fits by arithmetic; the stop comes first 4 A left What the stop asks for not known" in text
    assert "nothing there has to change" not in text and "none by these sums" not in text
    assert "What the stop above asks for is not in the price." in text
    assert "Way rule_120 fits by arithmetic 4 A left Nothing none by these sums" in told(replace(stopped, findings=()))


def test_the_pictures_carry_the_stop_in_their_captions():
    svg = {"busbar": "<svg></svg>", "one-line": "<svg></svg>"}
    for found, count in ((whole_connection(), 1), (without_stop(), 0)):
        text = words_of(render_house(replace(connected(), connection=found), svg))
        assert text.count("The stop above comes first. By the busbars alone") == count
        assert text.count("The stop at the head of this part comes first.") == count


def test_a_way_that_cannot_be_judged_is_never_told_as_free():
    unknown = way("all_breakers", CANNOT_SAY, changes_nothing=True)
    assert "Way all_breakers cannot say not known Nothing, if it turns out to fit not known" in told(replace(without_stop(), ways=(unknown,)))


def test_a_sum_that_passes_never_hides_a_place_that_does_not():
    beside = way("rule_120", DOES_NOT_FIT, changes_nothing=True, margin=amps("place", 10.0))
    assert "does not fit 10 A left by the sum alone; the breaker’s place fails — not priced" in told(replace(without_stop(), ways=(beside,)))


def test_what_must_hold_is_sorted_by_the_way_it_belongs_to():
    """A point that every way shares stands once; those of a way that does not fit are not asked for."""
    first = way("smaller_main", conditions=("Every way needs this.", "The smaller breaker is listed for this panel."))
    other = way("supply_side", conditions=("Every way needs this.", "The utility cuts the power."))
    failed = way("sum_rule", DOES_NOT_FIT, conditions=("Nobody needs this.",))
    found = conditions_of(replace(without_stop(), ways=(failed, first, other), chosen=first))
    assert "Every way needs this." in found.every_way and found.chosen == ("The smaller breaker is listed for this panel.",)
    assert found.others == (("Way supply_side", ("The utility cuts the power.",)),)
    text = told(replace(without_stop(), ways=(failed, first, other), chosen=first))
    assert text.index("Whatever the way:") < text.index("For the way in the cash, way smaller_main:") < text.index("Only for another way: Way supply_side")
    assert text.count("Every way needs this.") == 1 and "Nobody needs this." not in text


def test_no_condition_of_a_check_is_lost():
    found = conditions_of(whole_connection())
    told_all = {*found.every_way, *found.chosen, *(text for _, texts in found.others for text in texts)}
    c = whole_connection()
    assert {text for check in (*c.checks, *c.circuit_checks, *c.conductors) for text in check.conditions} <= told_all


def test_none_of_the_signs_is_said_in_whole_words():
    looked = replace(without_stop(), seen=(Seen("nothing of these", "", "What lies behind the cover only an electrician sees.", False),))
    assert "None of the warning signs (fuse box, scorching, rust," in told(looked) and "Nothing of these" not in told(looked)


def test_a_connection_that_needs_a_change_begins_with_a_call():
    c = without_stop()
    asked = questions(replace(connected(), connection=c))
    assert asked[0].label == "Call a licensed electrician" and c.chosen.change in asked[0].ask
    stopped = questions(replace(connected(), connection=whole_connection()))
    assert "Before anything else, about this: The label was read twice" in stopped[0].ask


def test_every_way_stands_with_verdict_margin_change_cost_and_who_decides(connecting):
    table = connecting[connecting.index("Who decides Way"):connecting.index("The money in this report")]
    for row in ("Way sum_rule does not fit 20 A too much — not priced Inspector and electrician",
                "Way smaller_main fits by arithmetic; the stop comes first 4 A left A changed smaller_main $900 to $1,600 Inspector and electrician",
                "Way supply_side fits by arithmetic; the stop comes first 4 A left A changed supply_side not priced Inspector and electrician",
                "Way power_control cannot say not known A changed power_control not priced Inspector and electrician"):
        assert row in table


def test_each_way_shows_the_sum_that_decides_and_the_largest_array(connecting):
    assert "Way smaller_main, NEC 2020, 705.12 (smaller_main) The sum of smaller_main decides: 240 A, at most 240 A. 32 A 7.68 kW 23" in connecting


def test_the_way_in_the_cash_is_named_with_its_price_and_who_named_it(connecting):
    assert "Its cost, $900 to $1,600, is in the price." in connecting
    assert "Price: an electrician’s word, November 2026 (invented)." in connecting


def test_a_way_that_nobody_priced_says_so():
    c = whole_connection()
    html = render_house(replace(connected(), connection=replace(c, chosen=c.ways[2])), {})
    assert "Nobody has priced it yet" in words_of(html)


@pytest.mark.parametrize("text", [
    "For the electrician first. The label was read twice with two numbers.",
    "The label inside the panel’s door.", "Rust in the panel. An electrician opens it first.", "Short-circuit rating: cannot say. Ask the utility.",
    "comes to 108.3 A, so by arithmetic its main breaker may be as small as 110 A", "Optional calculation for dwellings, NEC 2020, 220.82 26,000 VA 108.3 A",
    "A year of measured peaks, NEC 2020, 220.87 not used An array was already feeding in. Ask the utility", "Rule planned: fits by arithmetic.",
    "A gas furnace that becomes a heat pump changes this.", "Rule terminal_ampacity Wires from the inverter fits by arithmetic 4 A left",
    "Large inverter: fits by arithmetic. In the cold a string of 14 gives 561 V, at most 600 V. A string may have 7 to 14 modules.",
    "Main roof, 14 modules: 1 string of 14.", "Rapid shutdown A switch that the fire service finds. NEC 2020, 690.12",
    "Label at the breaker (label) Says what it must not be moved from. NEC 2020, 705.12(B). One public source",
    "Rule depth Garage wall fits by arithmetic", "Ask the utility for its steps.", "A missing drawing.", "Whether the utility’s transformer takes it.",
    "What only the site shows about sum_rule."])
def test_everything_found_is_told(connecting, text):
    assert text in connecting


def test_every_check_is_a_line_with_clause_formula_numbers_result_and_caution(html):
    workings = part(html, "workings", "words")
    assert ("Rule sum_rule, main panel. NEC 2020, 705.12 (sum_rule) Main breaker + sum_rule ≤ busbar. 200 A + 60 A for sum_rule. "
            "Caution: the clause number is from memory. Does not fit, 20 A too much") in workings
    for group in check_lines(whole_connection(), ()).groups:
        assert group.title in workings
        for line in group.lines:
            assert as_printed(line.check.sentence) in workings and line.check.clause in workings
    assert "First 10,000 VA whole, the rest at 40 %." in workings


def test_a_check_that_two_ways_share_stands_once():
    shared = check("feeder", where="feeder of the garage")
    ways = (way("sum_rule", checks=(shared,)), way("rule_120", checks=(shared, check("far_end"))))
    groups = check_lines(replace(whole_connection(), ways=ways), ()).groups
    assert [line.check.key for group in groups for line in group.lines].count("feeder") == 1
    assert [group.title for group in groups if "rule_120" in group.title] == ["Way: Way rule_120"]


def test_a_long_caution_stands_in_full_once_and_is_then_pointed_to():
    long = "This number was read in one public source only and was not held against a second one."
    checks = (check("a", caution=long), check("b", caution=long), check("c", caution="short"), check("d", caution="short"))
    (group, *_) = check_lines(replace(whole_connection(), checks=checks), ()).groups
    assert [line.caution for line in group.lines] == [long, "as at “Rule a, main panel” above", "short", "short"]


def test_a_figure_that_stands_among_the_checks_has_its_way_back_there_and_only_there():
    c = whole_connection()
    left, largest = c.checks[0].margin_a, c.ways[1].largest_a
    found = replace(connected(), figures={**connected().figures, left.key: left, largest.key: largest})
    page = render_house(found, {})
    for figure in (left, largest):
        assert page.count(f'id="w-{figure.key}"') == 1 and f'href="#w-{figure.key}"' in page
        assert figure.formula in words_of(page)
        assert f'<div class="working" id="w-{figure.key}"' not in page


def test_no_check_of_a_connection_is_forgotten():
    """A field that holds checks and is not among the groups would be missing from the workings."""
    connection = whole_connection()
    inner = (connection, *connection.ways, *connection.strings, connection.load, connection.utility)
    there = {line for found in inner for value in vars(found).values() if isinstance(value, tuple)
             for line in value if type(line).__name__ == "Check"}
    assert there == {line.check for group in check_lines(connection, ()).groups for line in group.lines}
    assert not [name for name, value in vars(connection).items() if value in ((), None) and name not in ("figures", "sources", "panels")]
    assert isinstance(connection, Connection)


def test_permissions_and_what_nobody_said_stand_in_who_decides(html):
    text = part(html, "who-decides", "electrician")
    assert "The owners’ association agrees first." in text and "Does the house stand in a historic district?" in text


def test_without_permissions_no_heading_stands_there():
    c = replace(whole_connection(), permissions=Permissions((), ()))
    assert "Nobody said yet" not in words_of(render_house(replace(connected(), connection=c), {}))


def test_a_house_that_is_not_judged_has_its_one_paragraph():
    text = part(render_house(assessed(ELSEWHERE), {}), "connecting", "bill")
    assert text.replace("Connecting it ", "", 1) == as_printed(assessed(ELSEWHERE).connection.sentence)


def test_tables_have_heads_and_each_row_its_own(html):
    """Every table can be read aloud: a caption, heads with a scope, rows of one length."""
    found = Read(html)
    heads = [attrs for tag, attrs in found.tags if tag == "th"]
    assert all("scope" in attrs for attrs in heads)
    assert sum(tag == "table" for tag, _ in found.tags) == sum(tag == "caption" for tag, _ in found.tags)


def test_nothing_forbidden_is_said(html):
    assert not [phrase for phrase in FORBIDDEN if phrase in words_of(html).lower()]


def test_house_text_in_a_connection_is_data():
    c = whole_connection()
    nasty = "<b>Bold</b> {{ 7*7 }}"
    evil = replace(c, findings=(nasty,), photos=(nasty,), ways=(replace(c.ways[0], name=nasty, reason=nasty, decides=nasty),),
                   checks=(check("sum_rule", sentence=nasty, where=nasty, caution=nasty),), seen=(replace(c.seen[0], what=nasty),))
    html = render_house(replace(connected(), connection=evil), {})
    assert "<b>Bold" not in html and html.count("{{ 7*7 }}") > 6
