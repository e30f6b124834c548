"""YAML to plain data with a position for every value; whatever two YAML programs might read differently is refused.

Reads the parser's events, not its nodes: an anchor is seen before anything is copied, and depth is known at once.
Typed are only true, false, null and decimal numbers; days and everything else stay text.
"""

from __future__ import annotations

import math
import re
import stat
import unicodedata
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

import yaml

from reportgen.describe.problems import Problem, dotted, printable
from reportgen.describe.yaml_syntax import plain_sentence

LARGEST_BYTES = 1_000_000
DEEPEST = 20
LONGEST_NUMBER = 30

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NUMBER = re.compile(r"[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9][0-9.]*")
_BASE_60 = re.compile(r"[-+]?\d[\d_]*(:\d+)+(\.\d*)?")
_UNDERSCORES = re.compile(r"[-+]?\d[\d_]*(\.[\d_]*)?")
_OTHER_BASE = re.compile(r"[-+]?0[xXoObB][0-9a-fA-F_]+")
_NOT_A_NUMBER = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_YES_OR_NO = frozenset(("y", "n", "yes", "no", "on", "off", "true", "false"))
_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Spot(NamedTuple):
    file: str
    line: int     # from 1
    column: int   # from 1


@dataclass
class YamlFile:
    """data: dict, list, str, int, float, bool or None. where: key path as a tuple -> Spot of its key or list entry.
    broken: paths whose value is not what the writer meant. complete: False where the reader had to give up."""

    data: object = None
    where: dict[tuple, Spot] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    broken: set[tuple] = field(default_factory=set)
    complete: bool = True


def read_yaml(path: Path, shown: str) -> YamlFile:
    """The file at `path`, called `shown` in problems. Never raises for what the file holds or for a file not there."""
    raw, message = _bytes_of(path)
    if raw is None:
        return _refused(shown, message)
    if b"\0" in raw:
        return _refused(shown, "this is a binary file (it holds zero bytes); a text file in YAML, saved as UTF-8, is expected")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        return _refused(shown, f"line {line} holds a byte that is not UTF-8 text; save the file with the encoding UTF-8")
    return read_yaml_text(text, shown)


def read_yaml_text(text: str, shown: str) -> YamlFile:
    """As `read_yaml`, from text at hand."""
    hidden = _UNPRINTABLE.search(text)
    if hidden:
        line = text.count("\n", 0, hidden.start()) + 1
        column = hidden.start() - (text.rfind("\n", 0, hidden.start()) + 1) + 1
        message = f"found a hidden control character (U+{ord(hidden.group()):04X}); delete it"
        return YamlFile(problems=[Problem(shown, line, column, "", message)], complete=False)
    return _Walk(shown).read(text)


def _refused(shown: str, message: str) -> YamlFile:
    return YamlFile(problems=[Problem(shown, None, None, "", message)], complete=False)


def _bytes_of(path: Path) -> tuple[bytes | None, str]:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            return None, "this is a folder; the name of a YAML file is expected"
        if not stat.S_ISREG(status.st_mode):
            return None, "this is not a plain file; a text file in YAML is expected"
        if status.st_size > LARGEST_BYTES:
            return None, (f"the file has {status.st_size / 1e6:.1f} MB and was not read; "
                          "a house is described in a few KB, and 1 MB is the limit")
        with path.open("rb") as file:
            raw = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        return None, "there is no such file"
    except PermissionError:
        return None, "the file can't be opened: this user may not read it"
    except (OSError, ValueError) as error:   # ValueError: a zero byte in the name
        return None, f"the file can't be opened ({getattr(error, 'strerror', None) or 'its name is not valid'})"
    if len(raw) > LARGEST_BYTES:
        return None, "the file grew past 1 MB while it was read"
    return raw, ""


class _GaveUp(Exception):
    """The rest of the file can't be read; the problem is already noted."""


_NO_KEY, _REFUSED_KEY = object(), object()


@dataclass
class _Frame:
    """A mapping or list that is still open."""

    container: dict | list
    path: tuple
    kept: bool                 # False below something refused: read on for its problems, keep nothing
    flow: bool
    is_key: bool = False       # a whole collection stands where a key belongs
    lines: dict = field(default_factory=dict)
    key: object = _NO_KEY
    value_kept: bool = True

    @property
    def wants_key(self) -> bool:
        return isinstance(self.container, dict) and self.key is _NO_KEY


class _Walk:
    def __init__(self, shown: str):
        self.shown = shown
        self.out = YamlFile()
        self.stack: list[_Frame] = []
        self.documents = 0

    def read(self, text: str) -> YamlFile:
        try:
            for event in yaml.parse(text, Loader=_LOADER):
                self._take(event)
        except _GaveUp:
            self.out.complete = False
        except yaml.YAMLError as error:
            mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
            line, column = (mark.line + 1, mark.column + 1) if mark else (None, None)
            self.out.problems.append(Problem(self.shown, line, column, "", plain_sentence(error, text)))
            self.out.complete = False
        while self.stack:   # keep what stood before the place where reading ended; an open bracket holds nothing whole
            if self.stack[-1].flow and self.stack[-1].path:
                self.out.broken.add(self.stack[-1].path)
            self._close()
        if self.out.complete and not self.documents:
            self.out.problems.append(Problem(self.shown, None, None, "", "the file is empty; keys, each followed by a colon and its value, are expected"))
            self.out.complete = False
        return self.out

    def _note(self, event, path: tuple, message: str, breaks: bool = True) -> None:
        mark = event.start_mark
        self.out.problems.append(Problem(self.shown, mark.line + 1, mark.column + 1, dotted(path), message))
        if breaks and path:
            self.out.broken.add(path)

    def _take(self, event) -> None:
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self._note(event, (), 'a second document starts here ("---"); one file describes one house')
                raise _GaveUp
        elif isinstance(event, yaml.AliasEvent):
            self._note(event, self._path_here(), f"found the alias *{printable(event.anchor, 40)}; "
                       "write the value out (values shared by all houses go into batch.yaml)")
            self._scalar_done(_REFUSED_KEY, None, event)
        elif isinstance(event, yaml.ScalarEvent):
            self._decorations(event)
            if self.stack and self.stack[-1].wants_key:
                self._key(event)
            else:
                path = self._path_here()
                self._scalar_done(None, self._value(event, path), event)
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._decorations(event)
            self._open(event)
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self._close()

    def _decorations(self, event) -> None:
        if event.anchor is not None:
            self._note(event, self._path_here(), f"found the anchor &{printable(event.anchor, 40)}; leave it out "
                       "(values shared by all houses go into batch.yaml)", breaks=False)
        if event.tag is not None:
            self._note(event, self._path_here(), f"found the tag {printable(event.tag.replace('tag:yaml.org,2002:', '!!'), 60)}; "
                       "leave it out and write the value alone")

    def _path_here(self) -> tuple:
        """Path of the value that comes next; of the mapping itself where a key comes next."""
        if not self.stack:
            return ()
        frame = self.stack[-1]
        if isinstance(frame.container, list):
            return frame.path + (len(frame.container),)
        return frame.path if frame.key is _NO_KEY or frame.key is _REFUSED_KEY else frame.path + (frame.key,)

    def _open(self, event) -> None:
        if len(self.stack) >= DEEPEST:
            self._note(event, self._path_here(), f"nested more than {DEEPEST} deep; a house file needs four")
            raise _GaveUp
        container = {} if isinstance(event, yaml.MappingStartEvent) else []
        flow = bool(event.flow_style)
        frame = self.stack[-1] if self.stack else None
        if frame is not None and frame.wants_key:
            if flow and frame.flow and isinstance(container, dict):
                message = ("found {{ … }}: a house file is data, not a template; write the value itself, "
                           "or put the whole text in quotes")
            else:
                message = "a list or mapping stands where a key belongs; write a name followed by a colon"
            self._note(event, frame.path, message)
            self.stack.append(_Frame(container, frame.path, False, flow, is_key=True))
            return
        path = self._path_here()
        self._remember(event, path)
        self.stack.append(_Frame(container, path, frame is None or (frame.kept and frame.value_kept), flow))

    def _close(self) -> None:
        frame = self.stack.pop()
        if frame.is_key:
            self.stack[-1].key, self.stack[-1].value_kept = _REFUSED_KEY, False
        else:
            self._attach(frame.container)

    def _key(self, event) -> None:
        frame = self.stack[-1]
        key = event.value
        path = frame.path + (key,)
        plain = event.style in (None, "")
        refused = True
        if plain and key == "<<":
            self._note(event, frame.path, "found the merge key <<; write the values out "
                       "(values shared by all houses go into batch.yaml)", breaks=False)
        elif plain and _typed(key) is not key:
            self._note(event, path, f"found {_quoted(key)} as a key; a key is a name such as roof or slope_deg")
        elif problem := _trap(key) if plain else "":
            self._note(event, path, "as a key: " + problem)
        elif problem := hidden_character(key):
            self._note(event, path, problem)
        elif key in frame.lines:
            self._note(event, path, f"{_quoted(key)} is written twice, on lines {frame.lines[key]} and "
                       f"{event.start_mark.line + 1}; keep one", breaks=False)
        else:
            refused = False
        frame.lines.setdefault(key, event.start_mark.line + 1)
        frame.key, frame.value_kept = (_REFUSED_KEY, False) if refused else (key, True)
        if not refused and frame.kept:
            self.out.where[path] = Spot(self.shown, event.start_mark.line + 1, event.start_mark.column + 1)

    def _value(self, event, path: tuple):
        if event.style not in (None, ""):
            if problem := hidden_character(event.value):
                self._note(event, path, problem)
            return event.value
        if problem := _trap(event.value) or hidden_character(event.value):
            self._note(event, path, problem)
            return event.value
        return _typed(event.value)

    def _scalar_done(self, as_key, value, event) -> None:
        if self.stack and self.stack[-1].wants_key:
            self.stack[-1].key, self.stack[-1].value_kept = as_key, False
            return
        self._remember(event, self._path_here())
        self._attach(value)

    def _remember(self, event, path: tuple) -> None:
        """List entries are found by their own place; the value of a key by its key."""
        frame = self.stack[-1] if self.stack else None
        if frame is None or (isinstance(frame.container, list) and frame.kept):
            self.out.where[path] = Spot(self.shown, event.start_mark.line + 1, event.start_mark.column + 1)

    def _attach(self, value) -> None:
        if not self.stack:
            self.out.data = value
            return
        frame = self.stack[-1]
        if isinstance(frame.container, list):
            frame.container.append(value)
            return
        if frame.value_kept:
            frame.container[frame.key] = value
        frame.key, frame.value_kept = _NO_KEY, True


def _typed(text: str):
    """null, true, false or a decimal number; the very same text where it is neither."""
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if not _NUMBER.fullmatch(text):
        return text
    number = float(text)
    return int(number) if "." not in text and abs(number) < 1e15 and number == int(number) else number


def _trap(text: str) -> str:
    """Why this unquoted word must not stand, or ''."""
    shown = _quoted(text, '"')
    if text.lower() in _YES_OR_NO and text not in ("true", "false"):
        return f"found {text} without quotes, which some programs read as yes or no; write {shown} for text, or true or false"
    if text in ("Null", "NULL"):
        return f"found {text} without quotes; write {shown} for text, or null for nothing"
    if _BASE_60.fullmatch(text):
        return f"found {printable(text, 40)} without quotes, which some programs read as a number in base 60; write {shown}"
    if _LEADING_ZERO.fullmatch(text):
        return (f"found {printable(text, 40)} without quotes, where the leading zero may be lost; "
                f"write {shown} for text, or a number without the zero")
    if "_" in text and _UNDERSCORES.fullmatch(text):
        return f"found {printable(text, 40)}; write a number without underscores, {printable(text.replace('_', ''), 40)}"
    if _OTHER_BASE.fullmatch(text):
        return f"found {printable(text, 40)}, which some programs read as a number in another base; write {shown} for text"
    if _NOT_A_NUMBER.fullmatch(text):
        return f"found {text}, which is no number to reckon with; write a number, or leave the key out if it is not known"
    if _NUMBER.fullmatch(text) and (len(text) > LONGEST_NUMBER or not math.isfinite(float(text))):
        return f"found {printable(text, 40)}; this number is too long or too large to be meant"
    return ""


def hidden_character(text: str) -> str:
    """What is wrong with a text that holds a line break or an invisible control character, or ''."""
    for c in text:
        if c in "\n\r":
            return "found a line break inside a text; keep it on one line"
        if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") or c in _BIDI or ord(c) & 0xFFFE == 0xFFFE:
            return f"found a hidden control character (U+{ord(c):04X}) inside a text; delete it"
    return ""


def _quoted(text: str, mark: str = "'") -> str:
    return f"{mark}{printable(text, 40)}{mark}"
