"""What `check` says about a house."""

from reportgen.describe.explain import explain, facts_read


def test_problems_are_all_that_is_said_of_a_house_with_problems(batch, good):
    described = batch.load(good.replace("41.7", "95").replace("9000", "-1"))
    assert explain(described) == [p.text() for p in described.problems]
    assert len(explain(described)) == 2


def test_facts_and_assumptions_are_counted(batch, good):
    described = batch.load(good)
    assert facts_read(described) == 11      # counted by hand in the house file of conftest
    assert explain(described)[0] == f"11 facts read, {len(described.assumptions)} assumed."


def test_twelve_months_are_one_fact(batch, good):
    assert facts_read(batch.load(good.replace("annual_kwh: 9000", f"monthly_kwh: {[700] * 12}"))) == 11


def test_every_assumption_has_its_line_with_range_and_source(batch, good):
    described = batch.load(good)
    lines = explain(described)
    for assumption in described.assumptions:
        (line,) = [x for x in lines if x.startswith(f"- {assumption.label}: ")]
        assert ";" in line
        if isinstance(assumption.low, (int, float)):
            assert "(range " in line
    assert "- Shade on this roof face: 3 % (range 0 % to 15 %); common practice, no source" in lines


def test_each_thing_to_find_out_is_asked_once_and_nothing_that_nobody_can_know(batch, good):
    lines = explain(batch.load(good))
    asks = lines[lines.index("What to find out next:") + 1:]
    assert len(asks) == len(set(asks)) > 10
    assert "- Get two or three written offers." in asks
    assert "- Nobody can know it." not in asks


def test_what_is_neither_said_nor_assumed_is_named(batch, good):
    lines = explain(batch.load(good))
    assert any(line.startswith("- electrical.busbar_a: Busbar rating") for line in lines)
    assert any(line.startswith("- Size of the array: not said") for line in lines)
    lines = explain(batch.load(good + "electrical: {busbar_a: 200}\narray: {array_kw: 5}\n"))
    assert not any("busbar_a" in line or "Size of the array" in line for line in lines)


def test_outside_the_united_states_nothing_is_asked_about_the_panel(batch, good):
    lines = explain(batch.load(good.replace("country: US", "country: SE") + "array: {array_kw: 6}\nmoney: {currency: SEK, installed_price: 90000}\n"))
    assert not any("electrical." in line for line in lines)


def test_a_said_fact_is_no_longer_assumed(batch, good):
    before, after = (batch.load(text) for text in (good, good + "array: {module_w: 430}\n"))
    assert len(after.assumptions) == len(before.assumptions) - 1
    assert facts_read(after) == facts_read(before) + 1


def test_what_follows_from_the_size_is_named_too(batch, good):
    lines = explain(batch.load(good))
    assert any(line.startswith("- AC limit of the inverter") for line in lines)
    assert any(line.startswith("- Price of a new inverter") for line in lines)
    told = explain(batch.load(good + "array: {array_kw: 6, inverter_kw: 5}\nmoney: {inverter_replacement: 2000}\n"))
    assert not any("AC limit of the inverter" in line or "Price of a new inverter" in line for line in told)
