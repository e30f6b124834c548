"""What README shows of a house file can be typed in as it stands."""

import re
from pathlib import Path

import pytest

from reportgen.describe.load import load_house

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```yaml\n(.*?)```", README, flags=re.DOTALL)
HOUSE = BLOCKS[0]


def problems_of(folder, house, tariff=None):
    (folder / "house.yaml").write_text(house, encoding="utf-8")
    if tariff is not None:
        (folder / "tariffs").mkdir()
        (folder / "tariffs" / "evening.yaml").write_text(tariff, encoding="utf-8")
    return list(load_house(folder / "house.yaml", folder).problems)


def without(house, key):
    """The house file without one of its top keys that stands on a line of its own."""
    kept = [line for line in house.splitlines(keepends=True) if not line.startswith(f"{key}:")]
    assert len(kept) == len(house.splitlines()) - 1
    return "".join(kept)


def test_the_first_example_is_a_house_file(tmp_path):
    assert problems_of(tmp_path, HOUSE) == []


@pytest.mark.parametrize("block", [b for b in BLOCKS[1:] if not b.startswith("name:")], ids=lambda b: b.split(":", 1)[0])
def test_a_piece_can_be_added_to_the_first_example(tmp_path, block):
    house = without(HOUSE, "use") if block.startswith("use:") else HOUSE
    found = [problem.message for problem in problems_of(tmp_path, house + block)]
    if "and so on" in block:                # README shows one bill of a year; only the rest of the year may be missing
        assert len(found) == 1 and "at least 335 days are expected" in found[0]
    else:
        assert found == []


def test_the_tariff_is_one_that_a_house_can_name(tmp_path):
    tariff = next(b for b in BLOCKS[1:] if b.startswith("name:"))
    house = without(HOUSE, "tariff") + "tariff: evening\n"
    assert problems_of(tmp_path, house, tariff) == []
