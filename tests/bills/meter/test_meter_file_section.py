"""The section of the house file that names a meter file."""

import pytest
from pydantic import ValidationError

from reportgen.describe.meter_file import MeterFile


def test_a_name_is_enough():
    assert MeterFile(file="year.xml").kind is None


@pytest.mark.parametrize("name", ["../year.xml", "/etc/passwd", "meter/year.csv", "a\\b.csv", ".hidden.csv", "year.xlsx", "year", ""])
def test_only_a_plain_name_of_a_file_of_text(name):
    with pytest.raises(ValidationError):
        MeterFile(file=name)


@pytest.mark.parametrize("wrong", [{"unit": "MWh"}, {"stamps": "middle"}, {"decimal": "."}, {"export": True}, {"year": 1969},
                                   {"kind": "xml"}, {"colour": "red"}])
def test_words_of_its_own(wrong):
    with pytest.raises(ValidationError):
        MeterFile(file="year.csv", **wrong)


def test_every_field_is_explained():
    assert all(field.description for field in MeterFile.model_fields.values())
