"""The page of a house: one file, nothing loaded, nothing run, nothing said that must not be said."""

from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from jinja2 import UndefinedError

from reportgen.chain import assess
from reportgen.figures import show, span, years_span
from reportgen.interconnection.result import CANNOT_SAY
from reportgen.interconnection.wording_plain import in_plain_words
from reportgen.report.pages import figure_text, parts_of, questions, render_house
from reportgen.report.setting import environment, text_html, tied
from tests.report.built import ELSEWHERE, HOUSES, US, assessed, page
from tests.report.words import FORBIDDEN

LOADING = {"src", "data", "poster", "background", "action", "formaction", "srcset", "ping"}


class Read(HTMLParser):
    """Tags with their attributes, and the text of chosen elements."""

    def __init__(self, html: str):
        super().__init__()
        self.tags, self.text, self.notes, self._open = [], [], [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self._open.append(tag)
        if tag == "aside":
            self.notes.append([])

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        while self._open and self._open.pop() != tag:
            pass

    def handle_data(self, data):
        if "style" in self._open:
            return
        self.text.append(data)
        if "aside" in self._open and "p" in self._open:
            self.notes[-1].append(data)


def read(name: str) -> Read:
    return Read(page(name))


def words_of(html: str) -> str:
    return " ".join(" ".join(Read(html).text).split()).replace("\u00a0", " ").replace("\u2060", "")


def as_printed(text: str) -> str:
    """A sentence of an Assessment with the page's apostrophes and signs."""
    return " ".join(str(tied(text)).replace("\u00a0", " ").replace("\u2060", "").split())


@pytest.mark.parametrize("house", [US, "north-slope"])
def test_inputs_that_move_nothing_that_shows_share_one_sentence(house):
    def printed(effect):
        return {show(worth, "USD") for worth in (*effect.net_present_value, assessed(house).payback.net_present_value.value)}
    still = [e for e in assessed(house).effects if len(printed(e)) == 1 and not e.over_deposit and not e.remark and not e.verdicts]
    assert still and any(e.swing > 0 for e in still) == (house == "north-slope")
    text = words_of(page(house))
    start = text.index("Without effect on this worth that would show in print, at either end:")
    assert all(as_printed(f"{e.label}: {e.value_text}, from {e.low_text} to {e.high_text}") in text[start:] for e in still)
    assert "No effect on this worth." not in text


@pytest.fixture(params=HOUSES)
def name(request):
    return request.param


def test_nothing_runs(name):
    found = read(name)
    assert "script" not in {tag for tag, _ in found.tags}
    assert not [key for _, attrs in found.tags for key in attrs if key.startswith("on")]


def test_nothing_is_loaded(name):
    """Neither an attribute nor a style points anywhere but into the page itself."""
    found = read(name)
    assert not {"link", "iframe", "object", "embed", "base"} & {tag for tag, _ in found.tags}
    for tag, attrs in found.tags:
        if tag == "img":         # a photo that may be shared, inside the page itself
            assert attrs.pop("src").startswith("data:image/jpeg;base64,")
        assert not LOADING & attrs.keys(), (tag, attrs)
        assert attrs.get("href", "#").startswith("#"), (tag, attrs)
    rest = page(name).replace("url(data:font/woff2;base64,", "").replace("url(#", "")
    assert "url(" not in rest and "@import" not in rest


def test_the_page_forbids_itself_to_load_or_to_tell(name):
    metas = [attrs for tag, attrs in read(name).tags if tag == "meta"]
    policy = next(m["content"] for m in metas if m.get("http-equiv") == "Content-Security-Policy")
    assert "default-src 'none'" in policy and "script-src" not in policy
    assert {"name": "robots", "content": "noindex, nofollow"} in metas
    assert {"name": "referrer", "content": "no-referrer"} in metas


def test_every_part_stands_once_and_in_order(name):
    ids = [attrs["id"] for tag, attrs in read(name).tags if tag == "h2" and "id" in attrs]
    assert ids == [part for part, _ in parts_of(assessed(name))]


def test_every_link_has_a_target_and_every_id_is_unique(name):
    found = read(name)
    ids = [attrs["id"] for _, attrs in found.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    targets = {attrs["href"][1:] for tag, attrs in found.tags if tag == "a"}
    assert targets <= set(ids)


def test_headings_do_not_skip_a_level(name):
    levels = [int(tag[1]) for tag, _ in read(name).tags if tag in ("h1", "h2", "h3", "h4")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_a_note_has_at_most_25_words(name):
    notes = [" ".join("".join(parts).split()) for parts in read(name).notes]
    assert len(notes) > 10
    assert not [note for note in notes if len(note.split()) > 25]


def test_no_forbidden_phrase(name):
    text = words_of(page(name)).lower()
    assert not [phrase for phrase in FORBIDDEN if phrase in text]


def test_the_page_stays_under_a_megabyte(name):
    assert len(page(name).encode()) < 1_000_000


def test_same_assessment_same_page():
    from reportgen.report.charts import draw_charts
    assert render_house(assessed(US), draw_charts(assessed(US))) == page(US)


def test_the_first_page_gives_answer_reasons_and_ranges(name):
    found, text = assessed(name), words_of(page(name))
    first = text[:text.index("Your roof and your sun In a typical")] if "Your roof and your sun In a typical" in text else text
    plain = in_plain_words(found.connection)       # stands for the connection's own sentence, which is full of numbers
    reasons = [plain if reason == found.connection.sentence else reason for reason in found.answer.reasons]
    for sentence in (found.answer.headline, *reasons, *found.answer.instead, plain):
        assert as_printed(sentence) in first
    value, years = found.payback.net_present_value, found.payback.simple_payback
    assert span(value.low, value.high, value.unit) in first
    assert years_span(years.low, years.high, found.payback.horizon_years) in first


def test_the_three_things_to_find_out_move_the_answer_most(name):
    asked = questions(assessed(name))
    text = words_of(page(name))
    assert len(asked) >= 3
    for question in asked[:3]:
        assert as_printed(question.ask) in text
    known = [e.label for e in assessed(name).effects if e.swing > 0 and e.ask]
    first = next(q.label for q in asked if q.reach)
    assert first == known[0]


def test_what_nobody_can_know_is_not_asked_for(name):
    unknowable = {e.label for e in assessed(name).effects if not e.ask}
    assert unknowable and not unknowable & {q.label for q in questions(assessed(name))}


def test_when_it_cannot_be_said_whether_it_connects_that_is_asked_first():
    found = assessed(US)
    unknown = assess(found.house.replaced("electrical.busbar_a", None), found.year)
    assert unknown.connection.judged and unknown.connection.verdict == CANNOT_SAY
    assert questions(unknown)[0].label == "Whether it connects"
    assert as_printed(unknown.connection.photos[0]) in words_of(render_house(unknown, {}))


def test_every_figure_stands_in_the_workings(name):
    found = assessed(name)
    ids = {attrs.get("id") for _, attrs in read(name).tags}
    assert {f"w-{key}" for key in found.figures} <= ids
    text = words_of(page(name))
    for figure in found.figures.values():
        assert as_printed(figure.formula) in text, figure.key


def test_every_assumption_stands_with_its_value(name):
    text = words_of(page(name))
    for effect in assessed(name).effects:
        assert as_printed(f"{effect.label}:") in text, effect.label
    for assumption in assessed(name).settled:
        assert as_printed(f"{assumption.label}:") in text


def test_a_payback_is_printed_as_its_range_in_whole_years(name):
    found = assessed(name)
    for figure in (found.payback.simple_payback, found.payback.discounted_payback):
        assert figure_text(figure, found) == years_span(figure.low, figure.high, found.payback.horizon_years)


def test_the_sentence_about_power_cuts_is_always_there(name):
    assert "gives nothing in a power cut" in words_of(page(name))


def test_that_money_is_nominal_is_said_once(name):
    assert words_of(page(name)).count("All money is nominal") == 1


def test_no_american_code_outside_the_united_states():
    text = words_of(page(ELSEWHERE))
    for word in ("NEC", "National Electrical Code", "120 %", "Fire codes", "permission to operate:"):
        assert word not in text


def test_who_decides_and_what_is_dangerous_are_named(name):
    text = words_of(page(name)).lower()
    for word in ("utility" if assessed(name).house.place.in_us else "grid operator", "electrician", "structural engineer",
                 "tax adviser", "owners’ association", "landlord", "neighbour", "falls", "asbestos", "stay live",
                 "daylight", "arc", "transformer"):
        assert word in text, word


def test_house_text_is_data():
    nasty = '<b>Bold</b> & "quoted" {{ 7*7 }} <script>alert(1)</script>'
    found = assessed(US)
    house = found.house.replaced("name", nasty).replaced("roof.0.name", "<i>face</i>").replaced("tariff.name", "<u>plan</u>")
    faces = (replace(found.production.faces[0], name="<i>face</i>"),)
    html = render_house(replace(found, house=house, production=replace(found.production, faces=faces)), {})
    for tag in ("<b>Bold", "<i>face", "<u>plan", "<script"):
        assert tag not in html
    assert "&lt;b&gt;Bold&lt;/b&gt;" in html and "{{ 7*7 }}" in html


def test_law_data_older_than_half_a_year_is_flagged():
    found = assessed(US)
    assert found.payback.incentives
    old = replace(found, payback=replace(found.payback, incentives=tuple(
        replace(i, is_stale=True) for i in found.payback.incentives)))
    fresh = replace(found, payback=replace(found.payback, incentives=tuple(
        replace(i, is_stale=False) for i in found.payback.incentives)))
    assert "more than 180 days before this report" in words_of(render_house(old, {}))
    assert "more than 180 days before this report" not in words_of(render_house(fresh, {}))


def test_a_picture_that_is_missing_leaves_no_caption_behind():
    text = words_of(render_house(assessed(US), {}))
    assert "When does the sun deliver?" not in text


def test_every_picture_has_its_question_and_its_answer(name):
    html = page(name)
    assert html.count("<figcaption>") == html.count('class="chart"') >= 5


def test_every_drawing_has_a_title_first(name):
    tags = read(name).tags
    for (tag, _), (after, _) in pairwise(tags):
        if tag == "svg":
            assert after == "title"


def test_a_misspelled_name_in_a_template_is_an_error():
    with pytest.raises(UndefinedError):
        environment().from_string("{{ not_there }}").render()


def test_a_number_and_its_unit_stay_together():
    assert tied("from 7,120 kWh at 0.15 to 40 A") == "from 7,120\u00a0kWh at 0.15 to 40\u00a0A"
    assert tied("from −$900 to −0.36 %") == "from −\u2060$900 to −0.36\u00a0%"
    assert tied("a 6:12 roof in 2023 and on") == "a 6:12 roof in 2023 and on"


@pytest.mark.parametrize("text", ["cautions", "cautions-us", "cautions-elsewhere", "who-decides-us", "who-decides-elsewhere",
                                  "words", "words-us"])
def test_a_text_is_plain_html(text):
    html = str(text_html(text))
    assert html.startswith("<p>")
    assert {tag for tag, _ in Read(html).tags} <= {"p", "ul", "li", "strong", "em"}
    assert not [phrase for phrase in FORBIDDEN if phrase in html.lower()]
