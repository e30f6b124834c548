"""Keys for other choices: what can't be is told in one sentence."""

import pytest

SHARE = "community_share: {kwh_per_year: 4000, price_per_month: 25, credit_per_kwh: 0.11, years: 20, source: the offer}\n"


def test_they_are_read(batch, good):
    house = batch.load(good + SHARE + "other_measures: [insulate the attic]\nshow_emissions: true\n"
                       "grid_g_co2_per_kwh: 310\ngrid_factor_source: the ministry, 2025\n").needed()
    assert house.community_share.kwh_per_year == 4000 and house.other_measures == ["insulate the attic"]
    assert house.show_emissions and house.grid_g_co2_per_kwh == 310


@pytest.mark.parametrize(("written", "said"), [
    ("community_share: {price_per_month: 25, credit_per_kwh: 0.11, years: 20, source: the offer}", "give one of share_kw or kwh_per_year"),
    ("community_share: {share_kw: 3, kwh_per_year: 4000, price_per_month: 25, credit_per_kwh: 0.11, years: 20, source: the offer}",
     "give only one of share_kw, kwh_per_year"),
    ("community_share: {kwh_per_year: 4000, credit_per_kwh: 0.11, years: 20, source: the offer}", "a share has a price"),
    ("community_share: {kwh_per_year: 4000, price_per_month: 25, credit_per_kwh: 11, years: 20, source: the offer}", "found 11"),
    ("community_share: {kwh_per_year: 4000, price_per_month: 25, credit_per_kwh: 0.11, years: 20}", "the key source is missing"),
    ("grid_g_co2_per_kwh: 310", "go together"),
    ("grid_factor_source: the ministry", "go together"),
    ("grid_g_co2_per_kwh: -3", "grams of CO2 per kWh"),
    ("building: {roof_work_days: 400}", "from 0 to 365"),
    ("show_emissions: perhaps", "true or false is expected"),
])
def test_each_bad_value_gets_one_clear_sentence(batch, good, written, said):
    (text,) = batch.texts(good + written + "\n")
    assert said in text
