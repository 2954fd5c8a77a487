"""Where each key of a TOML text stands: a map from its path to its line, since no reader gives positions.

The text is one that `tomllib` has already accepted, so this scanner only has to find its way, not to judge.
"""

import re
import tomllib

Path = tuple[str | int, ...]

BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
# A scalar that is no string runs to the first of these marks or to the line's end.
SCALAR_END = re.compile(r"[,\]}#\n]|\Z")
STRING_OPENINGS = ('"""', "'''", '"', "'")


def key_lines(text: str) -> dict[Path, int]:
    """Lines, counted from 1, of every table, key and list element of a valid TOML text.

    A path is made of keys and list positions: ("heat", "table", 2, "power"). A table that is made in several
    places is given the line of the first.
    """
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.document()
    return scanner.lines


def dotted_key(text: str) -> tuple[str, ...]:
    """Parts of a dotted key: levels."lower bunk" -> ("levels", "lower bunk"); ValueError if it is none."""
    scanner = _Scanner(text.strip())
    parts = scanner.key()
    if scanner.at < len(scanner.text):
        raise ValueError(f"{text!r} is no dotted key")
    return parts


class _Scanner:
    """One walk through the text; `at` is the position of the next character."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._counts: dict[Path, int] = {}

    def document(self) -> None:
        table: Path = ()
        while self._skip(newlines=True):
            if self.text.startswith("[[", self.at):
                table = self._header(brackets=2)
            elif self.text[self.at] == "[":
                table = self._header(brackets=1)
            else:
                self._pair(table)

    def key(self) -> tuple[str, ...]:
        parts = [self._simple_key()]
        while self._skip() and self.text[self.at] == ".":
            self.at += 1
            self._skip()
            parts.append(self._simple_key())
        return tuple(parts)

    def _header(self, brackets: int) -> Path:
        line = self._line()
        self.at += brackets
        self._skip()
        path = self._walk((), self.key(), line, new_element=brackets == 2)
        self._skip()
        self.at += brackets
        return path

    def _pair(self, table: Path) -> None:
        line = self._line()
        path = self._walk(table, self.key(), line, new_element=False)
        self._skip()
        self.at += 1  # the equals sign
        self._skip()
        self._value(path)

    def _walk(self, start: Path, keys: tuple[str, ...], line: int, *, new_element: bool) -> Path:
        """Note the line of every table on the way; a list of tables is entered at its newest element."""
        path = start
        for position, key in enumerate(keys):
            path = (*path, key)
            self.lines.setdefault(path, line)
            last = position == len(keys) - 1
            if last and new_element:
                self._counts[path] = self._counts.get(path, 0) + 1
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
                self.lines.setdefault(path, line)
        return path

    def _value(self, path: Path) -> None:
        opening = next((mark for mark in STRING_OPENINGS if self.text.startswith(mark, self.at)), None)
        if opening:
            self._string(opening)
        elif self.text[self.at] == "[":
            self._list(path)
        elif self.text[self.at] == "{":
            self._inline_table(path)
        else:
            end = SCALAR_END.search(self.text, self.at)
            if end is None or end.start() == self.at:
                raise ValueError(f"no value in line {self._line()}")
            self.at = end.start()

    def _list(self, path: Path) -> None:
        self.at += 1
        position = 0
        while self._skip(newlines=True) and self.text[self.at] != "]":
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self.lines[*path, position] = self._line()
            self._value((*path, position))
            position += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while self._skip(newlines=True) and self.text[self.at] != "}":
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self._pair(path)
        self.at += 1

    def _string(self, opening: str) -> None:
        self.at += len(opening)
        while not self.text.startswith(opening, self.at):
            if self.at >= len(self.text):
                raise ValueError("a string without its end")
            self.at += 2 if self.text[self.at] == "\\" and opening[0] == '"' else 1
        self.at += len(opening)
        # A multi-line string may end in up to two quotation marks of its own.
        while len(opening) == 3 and self.text.startswith(opening[0], self.at):
            self.at += 1

    def _simple_key(self) -> str:
        start = self.at
        if self.text.startswith(('"', "'"), start):
            self._string(self.text[start])
            return str(tomllib.loads(f"key = {self.text[start : self.at]}")["key"])
        found = BARE_KEY.match(self.text, start)
        if not found:
            raise ValueError(f"no key at {self.text[start : start + 20]!r}")
        self.at = found.end()
        return found.group()

    def _skip(self, *, newlines: bool = False) -> bool:
        """Pass blanks (and newlines and comments); True while text is left."""
        blanks = " \t\n" if newlines else " \t"
        while self.at < len(self.text):
            if newlines and self.text[self.at] == "#":
                end = self.text.find("\n", self.at)
                self.at = end if end >= 0 else len(self.text)
            elif self.text[self.at] in blanks:
                self.at += 1
            else:
                return True
        return False

    def _line(self) -> int:
        return self.text.count("\n", 0, self.at) + 1
