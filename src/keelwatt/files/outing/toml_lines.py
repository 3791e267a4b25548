"""Where the keys of a TOML text stand, and which values lack their quotes."""

import json
import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field

from keelwatt.units import UnitError, number

Key = tuple[str | int, ...]

_WORD = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_DOTTED = re.compile(rf"{_WORD}(?:[ \t]*\.[ \t]*{_WORD})*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"""+'
    r"|'''.*?'''+"
    r'|"(?!"")(?:\\[^\n]|[^"\\\n])*"'
    r"|'(?!'')[^'\n]*'",
    re.DOTALL,
)
_LINE = re.compile(r"[^\n]*")
_BARE = re.compile(r"(?:(?![ \t]*(?:#|\r?\n|\r?\Z)).)+")
_BARE_NESTED = re.compile(r"(?:(?![ \t]*(?:[#,\]}]|\r?\n|\r?\Z)).)+")
_CURLY_QUOTES = "“”„«»‘’"


@dataclass(frozen=True)
class Unquoted:
    """A value that TOML does not know as it stands, and what to write in its place."""

    key: Key
    value: str
    better: str

    @property
    def what(self) -> str:
        return "has no quotes" if self.better[0] == '"' else "is not a number as TOML writes it"

    @property
    def remedy(self) -> str:
        how = "put it in quotes" if self.better[0] == '"' else "write the number plainly"
        *_, last = self.key
        return f"{how}: {self.better if isinstance(last, int) else f'{last} = {self.better}'}"


@dataclass(frozen=True)
class Located:
    """The line of every key, the values without quotes, and the text with them quoted.
    ``unclosed`` is the line of the first quote that is never closed."""

    lines: Mapping[Key, int]
    unquoted: tuple[Unquoted, ...]
    patched: str
    unclosed: int | None

    def line(self, key: Key) -> int | None:
        """The line of ``key``, or of the table it is missing from."""
        while key:
            if key in self.lines:
                return self.lines[key]
            key = key[:-1]
        return None


def locate(text: str) -> Located:
    """Read as much of ``text`` as looks like TOML; what does not is stepped over.

    >>> found = locate('title = "a"\\n[[leg]]\\nspeed = 3 mph  # easy')
    >>> found.line(("leg", 0, "speed")), found.unquoted[0].better
    (3, '"3 mph"')
    """
    return _Scan(text).all()


def dotted(key: Key) -> str:
    """The key as a user writes it, tables of one name counted from 1.

    >>> dotted(("leg", 0, "speed"))
    'leg.1.speed'
    """
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in key)


def _words(dotted_key: str) -> Key:
    return tuple(word.strip("\"'") for word in re.findall(_WORD, dotted_key))


def _is_toml(value: str) -> bool:
    try:
        tomllib.loads(f"x = {value}")
    except ValueError:
        return False
    return True


@dataclass
class _Scan:
    text: str
    at: int = 0
    lines: dict[Key, int] = field(default_factory=dict)
    counts: dict[Key, int] = field(default_factory=dict)
    unquoted: list[Unquoted] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)
    copied: int = 0
    unclosed: int | None = None

    def __post_init__(self) -> None:
        self.breaks = [match.start() for match in re.finditer("\n", self.text)]

    def all(self) -> Located:
        table: Key = ()
        self._take(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header(table)
            else:
                self._pair(table, nested=False)
            self._take(_LINE)
            self._take(_BLANK)
        patched = "".join(self.pieces) + self.text[self.copied :]
        return Located(self.lines, tuple(self.unquoted), patched, self.unclosed)

    def _line(self) -> int:
        return bisect_right(self.breaks, self.at - 1) + 1

    def _take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        taken = match[0] if match else ""
        self.at += len(taken)
        return taken

    def _skip(self, mark: str) -> bool:
        there = self.text.startswith(mark, self.at)
        self.at += len(mark) if there else 0
        return there

    def _mark(self, key: Key) -> None:
        line = self._line()
        for length in range(1, len(key) + 1):
            self.lines.setdefault(key[:length], line)

    def _header(self, table: Key) -> Key:
        repeated = self._skip("[[")
        if not repeated:
            self._skip("[")
        self._take(_SPACE)
        words = _words(self._take(_DOTTED))
        if not words:
            return table
        key: Key = ()
        for left, word in zip(range(len(words) - 1, -1, -1), words, strict=True):
            key = (*key, word)
            if repeated and not left:
                self.counts[key] = self.counts.get(key, -1) + 1
            if key in self.counts:
                key = (*key, self.counts[key])
        self._mark(key)
        return key

    def _pair(self, table: Key, *, nested: bool) -> None:
        key = (*table, *_words(self._take(_DOTTED)))
        if key == table:
            return
        self._mark(key)
        self._take(_SPACE)
        if self._skip("="):
            self._take(_SPACE)
            self._value(key, nested=nested)

    def _value(self, key: Key, *, nested: bool) -> None:
        if self._take(_STRING):
            return
        if self.text.startswith(('"', "'"), self.at):
            self.unclosed = self.unclosed or self._line()
        elif self._skip("["):
            self._inside(key, "]")
        elif self._skip("{"):
            self._inside(key, "}")
        else:
            self._bare(key, _BARE_NESTED if nested else _BARE)

    def _inside(self, key: Key, close: str) -> None:
        """The items of a list, or the pairs of a table in braces."""
        index = 0
        while True:
            self._take(_BLANK)
            if self.at >= len(self.text) or self._skip(close):
                return
            before = self.at
            if close == "]":
                self._mark((*key, index))
                self._value((*key, index), nested=True)
            else:
                self._pair(key, nested=True)
            self._take(_BLANK)
            if self._skip(","):
                index += 1
            elif self.at == before:
                return

    def _bare(self, key: Key, pattern: re.Pattern[str]) -> None:
        start = self.at
        value = self._take(pattern)
        if not value or _is_toml(value):
            return
        better = _better(value)
        self.unquoted.append(Unquoted(key, value, better))
        self.pieces += [self.text[self.copied : start], better]
        self.copied = self.at


def _better(value: str) -> str:
    """The value in quotes, or a number written as TOML has it: .5 is 0.5 there."""
    try:
        return f"{number(value):.15g}"
    except UnitError:
        return json.dumps(value.strip(_CURLY_QUOTES), ensure_ascii=False)
