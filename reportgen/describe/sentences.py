"""A failed validation as plain sentences: what was found, what is expected, how to mend it."""

from __future__ import annotations

import difflib
import re

from reportgen.describe import expected
from reportgen.describe.problems import printable

_NUMBER_INSIDE = re.compile(r"\s*([-+]?[0-9]+(?:\.[0-9]+)?)\s*([^0-9\s].*)?")
_DECIMAL_COMMA = re.compile(r"\s*([-+]?(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})))\s*")
_GROUPED = re.compile(r"\s*[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?\s*")
_OUT_OF_RANGE = ("greater_than", "greater_than_equal", "less_than", "less_than_equal")


def sentence(error: dict, path: tuple, written: bool) -> str:
    """error: one entry of pydantic's `ValidationError.errors()`. written: the key at `path` stands in a file, be it empty."""
    kind, found = error["type"], error.get("input")
    if kind == "extra_forbidden":
        return _unknown_key(path)
    if kind == "missing":
        return _missing(path, written)
    if kind == "value_error":
        said = str(error["ctx"]["error"])
        return said if isinstance(found, (dict, list)) or _is_model(found) else f"found {shown(found)}; {said}"
    if kind in ("too_short", "too_long"):
        return _length(error, path)
    wanted = expected.expected_at(path)
    if kind == "literal_error":
        return f"found {shown(found)}; {wanted} is expected{_nearest_choice(found, path)}"
    if kind == "string_too_long":
        return f"found a text of {len(found):,} characters; {wanted} is expected"
    if kind == "string_too_short":
        return f"found an empty text; {wanted} is expected"
    if kind == "finite_number":
        return f"found {found}, which is no number to reckon with; {wanted} is expected"
    return f"found {shown(found)}; {wanted} is expected{_how_to_mend(found, path, kind)}"


def shown(value) -> str:
    """The value as its writer would know it again."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{printable(value, 40)}'" if value else "an empty text"
    if isinstance(value, list):
        return "a list of 1 entry" if len(value) == 1 else f"a list of {len(value):,} entries"
    if isinstance(value, dict):
        return f"a section with the keys {', '.join(printable(str(k), 20) for k in list(value)[:3])}" if value else "an empty section"
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def nearest(word: str, choices) -> str:
    """The choices most like `word`: "width_ft or width_m", "south"; "" where none is like it."""
    return " or ".join(_alike(word, choices))


def meant(path: tuple) -> list[str]:
    """The keys that the unknown key at the end of `path` may have been meant for."""
    return _alike(str(path[-1]), expected.keys_of(tuple(path[:-1])))


def _alike(word: str, choices) -> list[str]:
    """The nearest, and the second where it is as near."""
    by_folded = {_folded(c): str(c) for c in choices}
    close = difflib.get_close_matches(_folded(word[:100]), list(by_folded), n=2, cutoff=0.6)
    ratio = [difflib.SequenceMatcher(None, c, _folded(word[:100])).ratio() for c in close]
    return [by_folded[c] for c, r in zip(close, ratio) if r > ratio[0] - 0.1]


def _folded(word) -> str:
    return str(word).casefold().replace("-", "").replace("_", "").replace(" ", "")


def unknown_key(key: str, allowed, elsewhere: list[str] = ()) -> str:
    """For any section of any file: the nearest key, the section where it belongs, or all keys."""
    found = f"'{printable(key, 40)}' is not a key here"
    if elsewhere:
        return f"{found}; it belongs to {' or '.join(elsewhere)}"
    if near := nearest(key, allowed):
        return f"{found}; the nearest is {near}"
    return f"{found}; the keys are {', '.join(allowed)}"


def _unknown_key(path: tuple) -> str:
    key = str(path[-1])
    return unknown_key(key, expected.keys_of(path[:-1]), expected.sections_with(key))


def _missing(path: tuple, written: bool) -> str:
    key = path[-1]
    example = expected.example_of(path)
    return f"nothing is written after {key}; write {example}" if written else f"the key {key} is missing; write {example}"


def _length(error: dict, path: tuple) -> str:
    found = error["ctx"]["actual_length"]
    node = expected.node_at(path) or {}
    if node.get("minItems") == node.get("maxItems") == 12:
        return f"found {found} month{'' if found == 1 else 's'}; twelve are expected, January first"
    if node.get("minItems") == node.get("maxItems") == 24:
        return f"found {found} hours; twenty-four are expected, the hour from midnight first"
    if error["type"] == "too_short":
        return f"found {found} entries; at least {node.get('minItems', 1)} is expected"
    return f"found {found:,} entries; at most {node.get('maxItems')} are expected"


def _nearest_choice(found, path: tuple) -> str:
    choices = expected.choices_of(expected.node_at(path) or {}) or []
    if isinstance(found, str):
        if any(not isinstance(c, str) and str(c) == found.strip() for c in choices):
            return f": leave the quotes out, {found.strip()}"
        if near := nearest(found, [c for c in choices if isinstance(c, str)]):
            return f"; the nearest is {near}"
    return ""


def _how_to_mend(found, path: tuple, kind: str) -> str:
    if kind in _OUT_OF_RANGE or not isinstance(found, str):
        return ""
    if kind not in ("float_type", "int_type"):
        return ""
    if kind == "float_type" and (comma := _DECIMAL_COMMA.fullmatch(found)):
        return f": write a decimal point, {comma[1].replace(',', '.')}"
    if _GROUPED.fullmatch(found):
        return f": write {found.strip().replace(',', '')}"
    match = _NUMBER_INSIDE.fullmatch(found)
    if not match:
        return ""
    return f": write {match[1]} without the quotes" if match[2] is None else f": write the number alone, {match[1]}"


def _is_model(value) -> bool:
    return hasattr(type(value), "model_fields")
