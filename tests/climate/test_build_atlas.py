"""The script that makes the table: what it draws from, and how it reads a density of days."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from reportgen.climate import build_atlas, table

ROOT = Path(__file__).parents[2]


def test_mean_and_quantiles_of_an_even_spread():
    """An even density from 0 to 100: mean 50, quantile p at 100 p."""
    mean, quantiles = build_atlas.describe_days(np.arange(0.5, 100.0), np.ones(100))
    assert mean == pytest.approx(50.0)
    assert np.allclose(quantiles, 100 * table.RATIO_AT, atol=1e-6)


def test_what_is_packed_comes_back_to_a_rounding_step():
    clearness = np.full((2, 12), 0.5)
    clearness[1, 11] = np.nan
    packed = table.pack([[0, 0], [1, 2]], clearness, np.array([0.9, 1.1]), np.ones((2, 12, 7)), ["Köln"], [50.9], [7.0],
                        [37], [0.4], np.full((1, 12), 10.0))
    t = table.unpack(packed)
    assert t.cell_at[1, 2] == 1 and t.cell_at[0, 1] == -1 and t.city_name[0] == "Köln"
    assert t.clearness[0, 0] == pytest.approx(0.45) and np.isnan(t.clearness[1, 11])


def test_building_again_gives_the_same_bytes(tmp_path, monkeypatch, capsys):
    for package in (build_atlas.IRRADIANCE, build_atlas.SUNSHINE, build_atlas.AIR):
        pytest.importorskip(package[0], reason="the packages the table is made from are not part of this project")
    monkeypatch.setattr(build_atlas, "OUTPUT", tmp_path / table.FILE)
    build_atlas.main()
    assert (tmp_path / table.FILE).read_bytes() == (ROOT / "reportgen" / "tables" / table.FILE).read_bytes()
