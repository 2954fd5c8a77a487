"""Text for outputs that lack its signs: nothing is refused, letters stay letters."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.errors import Fault, read_as_utf8
from simtent.tell.signs import ALIKE, BLOCKS, shown, takes

ENCODINGS = ("ascii", "cp437", "cp1252", "latin-1", "utf-8", "cp850")


@given(st.text() | st.text("äÖüßéñŁøå°½\u2013€\udcfc\ud800"), st.sampled_from(ENCODINGS))
def test_every_text_can_be_encoded(text: str, encoding: str) -> None:
    shown(text, encoding).encode(encoding)


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_names_stay_readable(encoding: str) -> None:
    told = shown("Große Hütte am Bärensee, Żółw, Ærø, Ångström", encoding)
    assert "?" not in told and "\\" not in told
    plain = told.translate(str.maketrans("üäöåóŻŁżÅ", "uaoaoZLzA")).replace("ß", "ss")
    assert plain.startswith("Grosse Hutte am Barensee, Zo")


def test_what_no_letter_is_like_is_told_by_its_number() -> None:
    assert shown("Лес 5", "cp1252") == "\\u041b\\u0435\\u0441 5"


def test_what_the_encoding_has_stays() -> None:
    assert shown("Große Hütte", "cp437") == "Große Hütte"
    assert shown("Große Hütte", "cp1252") == "Große Hütte"


def test_blocks_need_more_than_an_old_code_page() -> None:
    assert [takes(encoding, BLOCKS) for encoding in ("utf-8", "cp437", "cp1252", "ascii")] == [
        True,
        *[False] * 3,
    ]


def test_likenesses_are_plain() -> None:
    assert "".join(ALIKE.values()).isascii()


def test_a_path_read_in_a_poor_locale() -> None:
    path = "Hütte/Straße.toml".encode().decode("ascii", "surrogateescape")
    assert read_as_utf8(path) == "Hütte/Straße.toml"
    assert str(Fault("it is missing", file=path)).startswith("Hütte/Straße.toml: ")
    assert read_as_utf8("\udcfctte") == "\\xfctte"  # no UTF-8
