"""The YAML parser's complaints in plain sentences."""

from __future__ import annotations

# part of the parser's own words -> what a person can do about it; the first that fits is used
_SENTENCES = (
    ("mapping values are not allowed", "a colon stands where none can; put a text that holds a colon in quotes, and indent as above"),
    ("block sequence entries are not allowed", "a list entry (\"- \") can't start here; put it on a line of its own"),
    ("block mapping", "this line does not fit the lines above; keys of one section start in the same column"),
    ("did not find expected key", "this line does not fit the lines above; keys of one section start in the same column"),
    ("did not find expected '-' indicator", "this line does not fit the list above; each entry starts with \"- \" in the same column"),
    ("expected ',' or ']'", "a list in brackets is not closed, or a comma is missing"),
    ("expected ',' or '}'", "a mapping in braces is not closed, or a comma is missing"),
    ("expected <block end>", "this line does not fit the lines above; keys of one section start in the same column"),
    ("could not find expected ':'", "a key without its colon; write key: value, with a space after the colon"),
    ("unexpected end of stream", "a text in quotes is opened and never closed"),
    ("unexpected document separator", "a text in quotes is opened and never closed"),
    ("depth", "this is nested far too deep; a house file needs four levels"),
    ("escape", "a backslash in double quotes has a special meaning; use single quotes around this text"),
    ("undefined alias", "an alias (*name) is used; write the value out"),
    ("alias", "an asterisk starts a text here; put the text in quotes"),
    ("anchor", "an ampersand starts a text here; put the text in quotes"),
    ("tag", "an exclamation mark starts a text here; put the text in quotes"),
    ("directive", "a percent sign starts this line; put the text in quotes"),
    ("invalid indentation", "the indentation changes here; keys of one section start in the same column"),
)


def plain_sentence(error: Exception, text: str) -> str:
    """What is wrong at this place, without the parser's wording. `text`: the whole file."""
    said = " ".join(str(part) for part in (getattr(error, "context", ""), getattr(error, "problem", "")) if part)
    mark = getattr(error, "problem_mark", None)
    if "cannot start any token" in said or "tab" in said.split():
        lines = text.splitlines()
        line = lines[mark.line] if mark and mark.line < len(lines) else ""
        if "\t" in line:
            return "found a tab; indent with spaces"
        return "found a character that can't start a value; put the text in quotes"
    problem = str(getattr(error, "problem", "") or "")
    for words, sentence in _SENTENCES:
        if words in problem:
            return sentence
    for words, sentence in _SENTENCES:
        if words in said:
            return sentence
    return "this can't be read as YAML; look at the indentation, colons and quotes near here"
