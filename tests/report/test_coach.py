"""The coach's page over a batch."""

from reportgen.batch.record import FAILED, MADE, Findings
from reportgen.batch.summary import Row
from reportgen.report.coach import render_coach

FOUND = Findings("Corner house", "yes", "Yes: this roof is worth it on the facts given.", 7120, 6100, 7900, "6,100 to 7,900 kWh",
                 18000, "$18,000", "USD", 2500, -900, 6100, "−\u2060$900 to $6,100", 11, 16, "11 to 16 years", "fits by arithmetic")
GOOD = Row("corner-house", MADE, "../to-share/abc/index.html", "../to-share/abc/report.pdf", FOUND, (), False, "electrician/corner-house.pdf")
BAD = Row("mill", FAILED, "../to-share/def/index.html", "", None, ("mill.yaml, line 3: slope_deg is 95; at most 90 <b>",), True)
WAITING = Row("new-house", "not built yet", "", "", None, (), False)


def test_a_built_house_is_a_row_with_links_and_ranges():
    html = render_coach("alder-lane", [GOOD], [])
    for part in ('href="../to-share/abc/index.html"', 'href="../to-share/abc/report.pdf"', "11 to 16\u00a0years",
                 "−\u2060$900 to $6,100", "Fits by arithmetic", 'href="electrician/corner-house.pdf"'):
        assert part in html


def test_a_failed_house_says_why_and_that_its_page_is_older():
    html = render_coach("alder-lane", [GOOD, BAD], [])
    assert "slope_deg is 95; at most 90 &lt;b&gt;" in html
    assert "was made before this" in html


def test_a_house_not_built_yet_is_named():
    assert "new-house" in render_coach("alder-lane", [WAITING], [])


def test_notes_stand_under_their_heading():
    html = render_coach("alder-lane", [GOOD], ["Every share link is new."])
    assert "About this run" in html and "Every share link is new." in html
    assert "About this run" not in render_coach("alder-lane", [GOOD], [])


def test_it_loads_nothing_and_is_not_to_be_found():
    html = render_coach("alder-lane", [GOOD, BAD, WAITING], ["x"])
    assert "<script" not in html and "http://" not in html and "noindex" in html and "no-referrer" in html
