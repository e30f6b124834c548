"""What is said of the roof's covering and its age."""

from __future__ import annotations

import pytest

from reportgen.production.layout.covering import covering_notes
from tests.houses import house


def _notes(**building) -> str:
    return " ".join(covering_notes(house(building=building)))


@pytest.mark.parametrize(("covering", "word"), [
    ("slate", "Slate breaks"), ("Concrete tile", "Tiles break"), ("cedar shake", "shakes burn"),
    ("asbestos cement, 1962", "asbestos"), ("fibre cement sheet", "laboratory")])
def test_stop_words_bring_their_caution(covering, word):
    assert word in _notes(roof_covering=covering, roof_years_left=40)


def test_a_plain_covering_brings_none_and_its_years_are_set_against_the_modules():
    text = _notes(roof_covering="asphalt shingle", roof_years_left=19)
    assert "19 years left" in text and "about 25" in text and "asbestos" not in text
    assert "no fewer than" in _notes(roof_covering="standing-seam metal", roof_years_left=35)


def test_what_is_not_said_is_asked_for():
    assert "was not said" in _notes() and "Ask a roofer" in _notes()
