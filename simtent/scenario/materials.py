"""The tables of materials: fabrics, insulation, grounds, woods, stoves, shelters; data with a source for every row."""

import tomllib
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from simtent.units import to_si

FOLDER = Path(__file__).parent.parent / "materials"
REMARKS = ("source", "remarks")  # of a row, no fields
BESIDE_THE_SHELTER = ("levels", "leak_area")  # fields of a shelter's row that stand in other tables


@dataclass(frozen=True, slots=True)
class Solid:
    """A fabric, a sheet or a board.

    density         of the layer as it lies, its own air included [kg/m3]
    conductivity    [W/(m K)]
    specific_heat   [J/(kg K)]
    emissivity_out  of its outer face, long-wave [-]
    emissivity_in   of its inner face, long-wave [-]
    absorptance     share of the sunlight that it takes up [-]
    transmittance   share of the sunlight that it lets through [-]
    thickness       where none is given [m]; None: it must be given
    source          of the figures
    """

    name: str
    density: float
    conductivity: float
    specific_heat: float
    emissivity_out: float
    emissivity_in: float
    absorptance: float
    transmittance: float
    thickness: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Ground:
    """What a shelter stands on.

    conductivity   [W/(m K)]; of snow at the table's density, for another it follows from that density
    density        with its water [kg/m3]
    specific_heat  frozen, where it has water that freezes [J/(kg K)]
    emissivity     long-wave [-]
    albedo         share of the sunlight that it throws back [-]
    snow           whether it is snow
    water          that freezes and melts [kg/m3]
    thaws_over     K below 0 degC over which it does, coldest first; 0: at 0 degC
    over_water     whether it floats on water
    source         of the figures
    """

    name: str
    conductivity: float
    density: float
    specific_heat: float
    emissivity: float
    albedo: float
    snow: bool
    water: float
    thaws_over: float
    over_water: bool
    source: str

    @property
    def ice(self) -> bool:
        """Whether it is snow or ice and nothing else: it cannot be warmer than 0 degC."""
        return self.water == self.density


@dataclass(frozen=True, slots=True)
class Species:
    """A kind of wood.

    density        oven-dry mass over volume at 12 % of moisture, dry basis [kg/m3]
    heating_value  net, of dry wood [J/kg]
    source         of the figures
    """

    name: str
    density: float
    heating_value: float
    source: str


@cache
def solids() -> dict[str, Solid]:
    """Every fabric and every sheet or board by its name."""
    rows = _table("fabrics.toml") | _table("insulation.toml")
    return {name: _solid(name, row) for name, row in rows.items()}


def ground_names() -> list[str]:
    """Names of the grounds."""
    return list(_grounds())


def ground(name: str, density: float | None = None) -> Ground:
    """A ground by its name, with another density [kg/m3] if one is given; KeyError if there is none."""
    row = _grounds()[name]
    return row if density is None else replace(row, density=density, water=density)


def species_names() -> list[str]:
    """Names of the woods."""
    return list(_species())


def species(name: str) -> Species:
    """A wood by its name; KeyError if there is none."""
    return _species()[name]


def stove_names() -> list[str]:
    """Names of the stoves that one's own may be like."""
    return list(_table("stoves.toml"))


def stove(name: str) -> dict[str, Any]:
    """The fields of a stove as they would stand in a scenario; KeyError if there is none."""
    return {key: value for key, value in _table("stoves.toml")[name].items() if key not in REMARKS}


def stove_source(name: str) -> str:
    """Where the figures of a stove come from; KeyError if there is none."""
    return str(_table("stoves.toml")[name]["source"])


def shelter_names() -> list[str]:
    """Names of the shelters that one's own may be like."""
    return list(_table("shelters.toml"))


def shelter(name: str) -> dict[str, dict[str, Any]]:
    """[shelter], [levels] and [model] of a shelter as a scenario would give them; KeyError if there is none."""
    row = _table("shelters.toml")[name]
    own = {key: value for key, value in row.items() if key not in (*BESIDE_THE_SHELTER, *REMARKS)}
    return {"shelter": own, "levels": row["levels"], "model": {"leak_area": row["leak_area"]}}


def shelter_source(name: str, field: str | None = None) -> str:
    """Where the figures of a shelter come from, or a field remarked apart; KeyError if there is none."""
    row = _table("shelters.toml")[name]
    return str(row.get("remarks", {}).get(field, row["source"]))


@cache
def _species() -> dict[str, Species]:
    return {
        name: Species(
            name,
            density=to_si(row["density"], "density"),
            heating_value=1e6 * row["heating_value"],
            source=row["source"],
        )
        for name, row in _table("woods.toml").items()
    }


@cache
def _grounds() -> dict[str, Ground]:
    return {
        name: Ground(
            name,
            conductivity=to_si(row["conductivity"], "conductivity"),
            density=to_si(row["density"], "density"),
            specific_heat=to_si(row["specific_heat"], "specific_heat"),
            emissivity=row["emissivity"],
            albedo=row["albedo"],
            snow=row["snow"],
            water=to_si(row["density" if row["melts"] == "all" else "melts"], "density"),
            thaws_over=to_si(row["thaws_over"], "temperature_difference"),
            over_water=row.get("over_water", False),
            source=row["source"],
        )
        for name, row in _table("grounds.toml").items()
    }


def _solid(name: str, row: dict[str, Any]) -> Solid:
    thickness = to_si(row["thickness"], "length") if "thickness" in row else None
    if "density" in row:
        density = to_si(row["density"], "density")
    else:  # a fabric is known by its mass per area at its own thickness
        density = to_si(row["areal_density"], "areal_density") / to_si(row["thickness"], "length")
    return Solid(
        name,
        density=density,
        conductivity=to_si(row["conductivity"], "conductivity"),
        specific_heat=to_si(row["specific_heat"], "specific_heat"),
        emissivity_out=row["emissivity_out"],
        emissivity_in=row["emissivity_in"],
        absorptance=row["absorptance"],
        transmittance=row.get("transmittance", 0.0),
        thickness=thickness,
        source=row["source"],
    )


@cache
def _table(file: str) -> dict[str, dict[str, Any]]:
    return tomllib.loads((FOLDER / file).read_text(encoding="utf-8"))
