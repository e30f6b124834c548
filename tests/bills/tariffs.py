"""Published tariffs in this project's own form, for tests of bills and calendars. Each names its source.

What a page does not print is marked as such: it decides nothing that a test compares with a published number.
"""

from __future__ import annotations

from reportgen.describe.tariff import Tariff

ONE_TO_ONE = {"rule": "one-to-one"}
US_SIX = ["New Year's Day", "Memorial Day", "Independence Day", "Labor Day", "Thanksgiving Day", "Christmas Day"]
SUMMER_FROM_JUNE = [{"name": "summer", "begins": "June 1", "ends": "September 30"},
                    {"name": "winter", "begins": "October 1", "ends": "May 31"}]


def seymour() -> Tariff:
    """City of Seymour (Indiana), municipal utility, page "bill comparison": blocks, a rider on all kWh, tax on the total.

    Winter 1,200 kWh: lines 16.00, 22.05, 22.30, 102.00, 7.50, subtotal 169.85, tax 1.70, total 171.55.
    Summer 2,000 kWh: lines 16.00, 22.05, 26.13, 33.45, 170.00, 7.50, subtotal 275.13, tax 2.75, total 277.88.
    The days on which its seasons begin are not printed there: assumed.
    """
    return _tariff(
        name="Residential", seasons=SUMMER_FROM_JUNE,
        fixed=[{"name": "Customer charge", "price": 7.50}],
        energy=[{"name": "Energy", "prices": [
                    {"season": "winter", "blocks": _blocks((250, 0.064), (700, 0.049), (None, 0.0446))},
                    {"season": "summer", "blocks": _blocks((250, 0.064), (700, 0.049), (1250, 0.0475), (None, 0.0446))}]},
                {"name": "Power cost", "price_per_kwh": 0.085}],
        taxes=[{"name": "Sales tax", "percent": 1.0}])


def river_falls_flat() -> Tariff:
    """City of River Falls (Wisconsin), "time-of-day rates", 2020-09-29: 675.54 kWh at the flat price cost 88.98.

    The customer charge is not printed; 14.00 is the one that fits this and the time-of-day bill.
    """
    return _tariff(name="Flat", fixed=[{"name": "Customer charge", "price": 14.0}],
                   energy=[{"name": "Energy", "price_per_kwh": 0.1110}])


def river_falls_time_of_day() -> Tariff:
    """The same page: on-peak 8 to 20 h Monday to Friday without six holidays "or the day designated to be celebrated".

    675.54 kWh, of which 45 % on-peak, cost 96.58.
    """
    return _tariff(
        name="Time of day", fixed=[{"name": "Customer charge", "price": 14.0}],
        holidays={"country": "US", "state": "WI", "names": US_SIX},
        windows=[{"name": "on-peak", "days": "weekdays", "hours": ["8-20"]}, {"name": "off-peak"}],
        energy=[{"name": "Energy", "prices": [{"window": "on-peak", "price_per_kwh": 0.1910},
                                              {"window": "off-peak", "price_per_kwh": 0.0660}]}])


def minimum_per_day() -> Tariff:
    """A public utility district in Washington, leaflet for customers who generate: minimum charge 0.53 a day, below which
    credit can't push the energy charges; the rest goes to a reserve.

    30 days, energy 32.50, credit 23.41: 32.50 − 23.41 + 6.81 = 15.90, reserve 6.81. The price of a kWh is not printed:
    at 0.10, 325 kWh taken and 234.1 kWh sent out make those lines.
    """
    return _tariff(
        name="Net metering", energy=[{"name": "Energy", "price_per_kwh": 0.10}],
        minimum={"name": "Minimum charge", "price": 0.53, "per": "day", "covers": "energy", "unused_credit": "kept"},
        export_rule={"rule": "net billing", "price_per_kwh": 0.10, "credit_pays": "energy"})


def benton_demand() -> Tariff:
    """Benton PUD (Washington), residential, November 2023: 0.0688 per kWh and 1.00 per kW of the highest one hour in peak
    hours, rounded to whole kW; peak October to April 6 to 9 and 17 to 20 h, May to September 17 to 20 h.

    5 kW make 5.00. The daily charge of 0.63 is of October 2019; a later one was not seen.
    """
    return _tariff(
        name="Residential with demand",
        seasons=[{"name": "October to April", "begins": "October 1", "ends": "April 30"},
                 {"name": "May to September", "begins": "May 1", "ends": "September 30"}],
        fixed=[{"name": "Daily system charge", "price": 0.63, "per": "day"}],
        energy=[{"name": "Energy", "price_per_kwh": 0.0688}],
        demand=[{"name": "Demand", "price_per_kw": 1.0, "over": "1 hour", "rounded_to": "whole kW",
                 "windows": [{"seasons": ["October to April"], "hours": ["6-9", "17-20"]},
                             {"seasons": ["May to September"], "hours": ["17-20"]}]}])


def palo_alto_blocks_per_day() -> Tariff:
    """City of Palo Alto E-1, from 2009-07-01 (no longer in force): 10 kWh a day, as much again, and all above.

    33 days and 800 kWh: blocks of 330, 330 and 140 kWh, lines 31.43 + 42.97 + 24.36 = 98.76 (sums of our own).
    """
    return _tariff(
        name="E-1", energy=[{"name": "Energy", "blocks_per": "day", "prices": [
            {"blocks": _blocks((10, 0.09524), (20, 0.13020), (None, 0.17399))}]}])


def demand_every_day() -> Tariff:
    """A midwestern utility's answers to frequent questions: demand is the highest hour from 6 to 22 h of every day, weekends
    and holidays too, though weekends have no on-peak energy; 3.37 per kW, in summer 8.16. 5 kW make 16.85 and 40.80.

    Its holidays also hold Good Friday, the day after Thanksgiving and 24 December. The prices of energy and the days on
    which summer begins and ends are not carried here: invented.
    """
    return _tariff(
        name="Demand", seasons=SUMMER_FROM_JUNE,
        holidays={"country": "US", "names": [*US_SIX, "Good Friday", "Day After Thanksgiving", "Christmas Eve"]},
        windows=[{"name": "on-peak", "days": "weekdays", "hours": ["6-22"]}, {"name": "off-peak"}],
        fixed=[{"name": "Customer charge", "price": 10.0}],
        energy=[{"name": "Energy", "prices": [{"window": "on-peak", "price_per_kwh": 0.09},
                                              {"window": "off-peak", "price_per_kwh": 0.05}]}],
        demand=[{"name": "Demand", "over": "1 hour", "windows": [{"days": "every day", "hours": ["6-22"]}],
                 "prices": [{"season": "winter", "price_per_kw": 3.37}, {"season": "summer", "price_per_kw": 8.16}]}])


PUBLISHED = (seymour, river_falls_flat, river_falls_time_of_day, minimum_per_day, benton_demand, palo_alto_blocks_per_day,
             demand_every_day)


def _blocks(*ends_and_prices) -> list[dict]:
    return [{"price_per_kwh": price} if end is None else {"up_to_kwh": float(end), "price_per_kwh": price}
            for end, price in ends_and_prices]


def _tariff(**said) -> Tariff:
    return Tariff.model_validate({"export_rule": ONE_TO_ONE} | said)
