"""On which line each key of a TOML text stands.

The standard parser keeps no positions. This walks a text that it has already accepted, so it need
not judge, only find: tables, arrays of tables, dotted keys, inline tables and arrays.
"""

import re
import tomllib
from bisect import bisect_right

Place = tuple[str | int, ...]
"""Address of a value: ("areas", 3, "shape", "width"), entries of arrays counted from 0."""

_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_PART = re.compile(r'[ \t]*([A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\')[ \t]*')
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL
)
_SCALAR = re.compile(r"[^,\]}\n#]+")


def places(text: str) -> dict[Place, int]:
    """The line [count from 1] of every table, key and array entry of a valid TOML text."""
    return _Walk(text).lines


class _Walk:
    def __init__(self, text: str) -> None:
        self.lines: dict[Place, int] = {}
        self._text = text
        self._at = 0
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self._entries: dict[Place, int] = {}
        self._statements()

    def _statements(self) -> None:
        table: Place = ()
        while self._gap() < len(self._text):
            if self._take("[["):
                table = self._header(array=True)
                self._take("]]")
            elif self._take("["):
                table = self._header(array=False)
                self._take("]")
            else:
                self._pair(table)

    def _header(self, *, array: bool) -> Place:
        line = self._line()
        *outer, last = self._key()
        place = (*self._resolve(outer, line), last)
        if array:
            self.lines.setdefault(place, line)
            self._entries[place] = self._entries.get(place, -1) + 1
            place = (*place, self._entries[place])
        elif place in self._entries:
            place = (*place, self._entries[place])
        self.lines[place] = line
        return place

    def _resolve(self, parts: list[str], line: int) -> Place:
        """The address of a header's outer tables: the latest entry of every array passed."""
        place: Place = ()
        for part in parts:
            place = (*place, part)
            self.lines.setdefault(place, line)
            if place in self._entries:
                place = (*place, self._entries[place])
        return place

    def _pair(self, table: Place) -> None:
        line, parts = self._line(), self._key()
        for length in range(1, len(parts)):
            self.lines.setdefault((*table, *parts[:length]), line)
        self._take("=")
        self._value((*table, *parts), line)

    def _value(self, place: Place, line: int) -> None:
        self.lines[place] = line
        self._gap()
        if self._take("["):
            self._array(place)
        elif self._take("{"):
            self._inline(place)
        else:
            found = _STRING.match(self._text, self._at) or _SCALAR.match(self._text, self._at)
            self._at = found.end() if found else self._at + 1

    def _array(self, place: Place) -> None:
        entry = 0
        while self._gap() < len(self._text) and not self._take("]"):
            self._value((*place, entry), self._line())
            self._gap()
            self._take(",")
            entry += 1

    def _inline(self, place: Place) -> None:
        while self._gap() < len(self._text) and not self._take("}"):
            self._pair(place)
            self._gap()
            self._take(",")

    def _key(self) -> list[str]:
        parts = []
        while match := _PART.match(self._text, self._at):
            self._at = match.end()
            parts.append(_plain(match.group(1)))
            if not self._take("."):
                break
        return parts

    def _gap(self) -> int:
        match = _GAP.match(self._text, self._at)
        self._at = match.end() if match else self._at
        return self._at

    def _take(self, token: str) -> bool:
        found = self._text.startswith(token, self._at)
        if found:
            self._at += len(token)
        return found

    def _line(self) -> int:
        return bisect_right(self._starts, self._at)


def _plain(part: str) -> str:
    """A key part without its quotes and escapes."""
    return next(iter(tomllib.loads(f"{part} = 0"))) if part[0] in "\"'" else part
