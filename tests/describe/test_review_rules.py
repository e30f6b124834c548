"""What the house file may say about the utility's rules and about sights."""


def test_an_unknown_review_key_names_the_known_ones(batch, good):
    problems = batch.load(good + "electrical: {utility: {review_rules: atlantis}}\n").problems
    (text,) = [p.text() for p in problems]
    assert "atlantis" in text and "maryland-level-1" in text and "federal-10-kw" in text


def test_nothing_of_these_does_not_stand_beside_a_sight(batch, good):
    problems = batch.load(good + 'electrical: {seen: [rust, "nothing of these"]}\n').problems
    assert "leave one of them out" in problems[0].text()
    assert batch.load(good + 'electrical: {seen: ["nothing of these"]}\n').problems == ()
