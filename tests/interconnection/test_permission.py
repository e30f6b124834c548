"""Who else must agree: sentences for what is so, questions for what nobody said."""

import pytest

from reportgen.describe.permission import Permission
from reportgen.interconnection.permission import QUESTIONS, WHERE_SO, permissions
from tests.interconnection.houses import panel_house


def _permissions(country="US", **said):
    return permissions(panel_house(200, 200, 24, country=country).replaced("permission", Permission(**said)))


def test_every_key_of_the_house_file_has_a_sentence_and_a_question():
    assert list(WHERE_SO) == list(QUESTIONS) == list(Permission.model_fields)


@pytest.mark.parametrize("key", WHERE_SO)
def test_yes_gives_a_sentence_no_gives_nothing_unsaid_a_question(key):
    assert _permissions(**{key: True}).sentences == (WHERE_SO[key],)
    assert "in writing" in WHERE_SO[key] and "before anything is signed" in WHERE_SO[key]
    assert _permissions(**{key: False}).sentences == () and QUESTIONS[key] not in _permissions(**{key: False}).unknown
    assert QUESTIONS[key] in _permissions().unknown


def test_the_same_outside_the_united_states():
    assert _permissions("DE", rented=True) == _permissions("US", rented=True)
