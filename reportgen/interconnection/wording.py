"""Amperes and lists as the sentences and formulas of this part write them."""

from __future__ import annotations

from reportgen.figures import show


def amps(value: float, digits: int | None = None) -> str:
    """'40 A', '39.6 A'; a whole number stays whole whatever `digits` says."""
    whole = abs(value - round(value)) < 1e-9
    return show(value, "A", 0 if whole else digits)


def an(text: str) -> str:
    """'a 40 A', 'an 80 A': with the article."""
    number = text.split()[0]
    return f"{'an' if number.startswith('8') or number in ('11', '18') else 'a'} {text}"


def digits_to_tell_apart(difference: float) -> int | None:
    """Decimals with which a small difference does not read as nothing; None where the usual rounding does."""
    size = abs(difference)
    if size < 1e-9 or size >= 0.05:
        return None
    return next((d for d in range(2, 6) if size >= 0.5 * 10.0 ** -d), 6)


def listed(parts: list[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def number_word(count: int) -> str:
    """'three'; figures above twelve."""
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
    return words[count] if count < len(words) else str(count)


def lower(name: str) -> str:
    """A rule's name inside a sentence: 'sum rule', '120 % rule'."""
    return name[0].lower() + name[1:]
