"""What a thermometer at the pipe showed, held against what practice calls usual (common practice, no source)."""

from pathlib import Path

import pytest

from simtent.assess.instruments import instrument_findings
from tests import fake_night


@pytest.mark.parametrize(
    ("reading", "level", "word"),
    [
        ("110 degC at the surface", "caution", "creosote"),
        ("125 degC at the surface", "note", "usual"),
        ("200 degC at the surface", "note", "usual"),
        ("210 degC at the surface", "caution", "may glow"),
        ("265 degC at the surface", "stop", "may glow"),
        ("400 degF at the surface", "caution", "may glow"),
        ("390 degF at the surface", "note", "usual"),
        ("140 degC of the gas", "caution", "creosote"),
        ("265 degC of the gas", "note", "usual"),
        ("430 degC of the gas", "caution", "may glow"),
        ("490 degC of the gas", "stop", "may glow"),
        ("900 degF of the gas", "stop", "may glow"),
    ],
)
def test_a_reading_is_judged_where_it_was_read(tmp_path: Path, reading: str, level: str, word: str) -> None:
    """121 to 204 degC at the surface, 260 too hot; 149 to 427 degC of the gas, 482 too hot."""
    (finding,) = instrument_findings(fake_night.scenario(tmp_path, f'instruments.flue="{reading}"'))
    assert finding.level == level and word in finding.what
    assert ("surface" in finding.what) == ("surface" in reading)
    assert finding.source == "common practice, no source" and "manuals" in finding.todo


def test_what_is_usual_is_no_praise(tmp_path: Path) -> None:
    (finding,) = instrument_findings(
        fake_night.scenario(tmp_path, 'instruments.flue="160 degC at the surface"')
    )
    assert "says nothing about soot, cloth or air" in finding.what


def test_without_a_reading_nothing_is_said(tmp_path: Path) -> None:
    assert list(instrument_findings(fake_night.scenario(tmp_path))) == []
