"""Text in the signs that an output can take: a name with an umlaut must not end a program.

What this program says by itself is plain ASCII but for the blocks of `strip`; names, paths and values are the user's.
Standard error needs none of this: Python itself writes there what is lacking as numbers.
"""

from simtent.errors import read_as_utf8

BLOCKS = "▁▂▃▄▅▆▇█"
ALIKE = {  # what Unicode itself takes apart into nothing plainer
    "ß": "ss", "ẞ": "SS", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O", "ł": "l",
    "Ł": "L", "đ": "d", "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "Th", "\u0131": "i", "°": "deg",
    "\u00d7": "x", "÷": "/", "·": ".", "•": "-", "±": "+-", "\u2212": "-", "\u2010": "-", "\u2011": "-",
    "\u2013": "-", "—": "-", "\u2044": "/", "→": "->", "≤": "<=", "≥": ">=", "≈": "~", "\u2018": "'",
    "\u2019": "'", "\u201a": ",", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"', "€": "EUR", "£": "GBP",
}  # fmt: skip


def takes(encoding: str, text: str) -> bool:
    """Whether an output of this encoding shows every sign of a text.

    >>> takes("utf-8", BLOCKS), takes("cp1252", "Hütte"), takes("cp437", BLOCKS), takes("ascii", "Hütte")
    (True, True, False, False)
    """
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def shown(text: str, encoding: str) -> str:
    r"""The text with each sign that the encoding lacks as the nearest that it has: letters, else the sign's number.

    >>> shown("Hütte, 5 °C, ½ m², Straße", "ascii")
    'Hutte, 5 degC, 1/2 m2, Strasse'
    >>> shown("Hütte, Łódź", "cp1252")
    'Hütte, Lódz'
    >>> shown("Лес", "ascii")
    '\\u041b\\u0435\\u0441'
    """
    text = read_as_utf8(text)
    if takes(encoding, text):
        return text
    return "".join(mark if takes(encoding, mark) else _nearest(mark, encoding) for mark in text)


def _nearest(mark: str, encoding: str) -> str:
    """Letters alike, without the accents; a sign that has none, by its number."""
    if mark in ALIKE:
        return ALIKE[mark]
    import unicodedata  # noqa: PLC0415  (hardly ever needed)

    apart = [it for it in unicodedata.normalize("NFKD", mark) if not unicodedata.combining(it)]
    if mark in apart:
        return _number(mark)
    return "".join(it if takes(encoding, it) else _nearest(it, encoding) for it in apart)


def _number(mark: str) -> str:
    return mark.encode("ascii", "backslashreplace").decode()
