"""The result's schema, its check, and the file it is kept in."""

import errno
import os
from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent import files, results, schema
from tests import fake_fire, fake_night

CF_NAMES = {  # CF standard name table v85 (cfconventions.org): name -> canonical unit
    "time": "s",
    "height": "m",
    "air_temperature": "K",
    "wind_speed": "m s-1",
    "surface_downwelling_shortwave_flux_in_air": "W m-2",
    "humidity_mixing_ratio": "1",
}


OF_ROOMS = ["height", "level", "surface", "interface", "stream", "opening"]


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return fake_night.night(minutes=10.0)


@pytest.fixture(scope="module")
def fire() -> xr.Dataset:
    return fake_fire.night(minutes=10.0)


@pytest.fixture(scope="module")
def yard() -> xr.Dataset:
    return fake_fire.burn(minutes=10.0)


def with_departures(dataset: xr.Dataset) -> xr.Dataset:
    return results.extend(dataset, {}, {"departure": ["wind over 25 m/s from 02:10 to 02:30 °", "none else"]})


def assert_same(left: xr.Dataset, right: xr.Dataset) -> None:
    """Identical, and dtypes with it: xarray's own `identical` does not look at them."""
    assert left.identical(right)
    assert {name: left[name].dtype for name in left.variables} == {
        name: right[name].dtype for name in right.variables
    }
    assert list(left.variables) and set(left.coords) == set(right.coords)
    assert {k: type(v) for k, v in left.attrs.items()} == {k: type(v) for k, v in right.attrs.items()}
    for name in left.variables:
        assert left[name].attrs == right[name].attrs
        assert [type(v) for v in left[name].attrs.values()] == [type(v) for v in right[name].attrs.values()]


def test_standard_names_and_units_are_of_the_cf_table() -> None:
    same = {"K": "degC", "1": "kg kg-1"}  # CF allows any unit convertible to the canonical one
    for variable in schema.TABLE.values():
        if variable.standard_name:
            canonical = CF_NAMES[variable.standard_name]
            assert variable.units in (canonical, same.get(canonical), ""), variable.name
        assert variable.long_name and variable.meaning
        assert bool(variable.units) == (variable.kind == "float"), variable.name


def test_what_comes_and_goes_has_a_path_of_the_same_name() -> None:
    stored = {name for name in schema.ACCOUNTS if name.startswith("stored_")}
    assert set(schema.ACCOUNTS) - stored - {"source"} <= set(schema.PATHS)  # the source has two


def test_every_flow_and_energy_says_its_sign() -> None:
    for variable in schema.VARIABLES:
        if variable.units in ("W", "J", "kg s-1"):
            assert variable.sign, variable.name


def test_a_good_night_passes(night: xr.Dataset, fire: xr.Dataset, yard: xr.Dataset) -> None:
    results.check(night)
    results.check(fire)
    results.check(yard)
    results.check(with_departures(night))
    assert night["level_temperature"].attrs["units"] == "degC"
    assert night["time"].dtype == np.dtype("datetime64[ns]")


@pytest.mark.parametrize("departures", [False, True])
def test_the_file_gives_the_identical_dataset_back(
    night: xr.Dataset, tmp_path: Path, departures: bool
) -> None:
    given = with_departures(night) if departures else night
    given.attrs["scenario_given"] = 'name = "Föhnbank"\n# a long text\n' * 9000  # over HDF5's 64 KiB
    results.write(given, tmp_path / "a.night.nc")
    with xr.open_dataset(tmp_path / "a.night.nc", engine="h5netcdf") as back:
        assert_same(given, back)
        results.check(back)
        results.write(back.load(), tmp_path / "b.night.nc")
    with xr.open_dataset(tmp_path / "b.night.nc", engine="h5netcdf") as again:
        assert_same(given, again)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.night.nc", "b.night.nc"]


@pytest.mark.parametrize("kind", ["fire", "yard"])
def test_a_fires_file_gives_the_identical_dataset_back(
    kind: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    given = request.getfixturevalue(kind)
    results.write(given, tmp_path / "a.night.nc")
    with xr.open_dataset(tmp_path / "a.night.nc", engine="h5netcdf") as back:
        assert_same(given, back)
        assert "level" in back.dims or kind == "yard"


def test_the_file_has_no_number_that_stands_for_none(night: xr.Dataset, tmp_path: Path) -> None:
    results.write(night, tmp_path / "a.nc")
    with xr.open_dataset(tmp_path / "a.nc", engine="h5netcdf", decode_cf=False) as raw:
        assert not [name for name in raw.variables if "_FillValue" in raw[name].attrs]


def test_empty_texts_survive_the_file(night: xr.Dataset, tmp_path: Path) -> None:
    data = {v.name: ["", ""] for v in schema.VARIABLES if v.group == "findings"}
    given = results.extend(night, data, {"finding": [0, 1]})
    results.write(given, tmp_path / "a.nc")
    with xr.open_dataset(tmp_path / "a.nc", engine="h5netcdf") as back:
        assert_same(given, back)


def test_an_interrupted_write_leaves_the_old_file(
    night: xr.Dataset, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.night.nc"
    results.write(night, path)
    before = path.read_bytes()

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        results.write(with_departures(night), path)
    assert path.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["a.night.nc"]


def test_the_bytes_are_the_file(night: xr.Dataset, tmp_path: Path) -> None:
    path = tmp_path / "a.night.nc"
    path.write_bytes(results.to_bytes(night))
    with xr.open_dataset(path, engine="h5netcdf") as back:
        assert_same(night, back)
    assert results.scenario_of(path) == "Paper bench"


def test_files_are_written_together(tmp_path: Path) -> None:
    pair = {tmp_path / "a": b"new a", tmp_path / "b": b"new b"}
    (tmp_path / "a").write_bytes(b"a longer old one")
    files.write_all(pair)
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == pair


@pytest.mark.parametrize("fails_at", [1, 2])
def test_files_are_written_all_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails_at: int
) -> None:
    (tmp_path / "a").write_bytes(b"old a")
    calls: list[int] = []

    def full(_: int) -> None:
        calls.append(1)
        if len(calls) == fails_at:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        files.write_all({tmp_path / "a": b"new a", tmp_path / "b": b"new b"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"old a"}


def test_no_file_is_written_beside_one_that_cannot_be(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        files.write_all({tmp_path / "a": b"new a", tmp_path / "nowhere" / "b": b"new b"})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda d, c: d.update(air_temprature=d["air_temperature"]), "air_temprature: not in the schema"),
        (lambda d, c: d.update(wind_speed=d["air_temperature"]), "wind_speed: 2 dimensions"),
        (lambda d, c: d.update(wind_speed=d["wind_speed"][:-1]), "do not fit together"),
        (lambda d, c: d["wind_speed"].__setitem__(3, np.nan), "wind_speed: numbers that are not finite"),
        (lambda d, c: d["energy"].__setitem__((3, 1), np.inf), "energy: numbers that are not finite"),
        (lambda d, c: c["time"].__setitem__(3, np.datetime64("NaT")), "time: numbers that are not finite"),
        (lambda d, c: c["time"].__setitem__(3, c["time"][2]), "time: does not rise"),
        (lambda d, c: c.update(height=c["height"][::-1]), "height: does not rise"),
        (lambda d, c: c.update(interface=c["interface"][::-1]), "interface: does not rise"),
        (lambda d, c: c.update(level=["head", "cot", "cot", "floor"]), "level: a label stands twice"),
        (lambda d, c: c["stream"].__setitem__(0, "draught"), "stream: 'draught' is not in the schema"),
        (lambda d, c: c["opening"].__setitem__(1, "seams, windward"), "opening: a label stands twice"),
        (lambda d, c: c["path"].__setitem__(0, "chimney"), "path: 'chimney' is not in the schema"),
        (lambda d, c: d.update(wind_speed=d["wind_speed"].astype(str)), "wind_speed: <U32 given"),
        (lambda d, c: c.update(level=[1, 2, 3, 4]), "level: int64 given"),
        (lambda d, c: c.pop("level"), "level: labels missing"),
    ],
)
def test_label_refuses(change, words: str) -> None:  # type: ignore[no-untyped-def]
    data, coords = fake_night.values(minutes=30.0)
    change(data, coords)
    with pytest.raises(results.SchemaError, match=words.replace("(", r"\(")):
        results.label(data, coords, fake_night.ATTRS)


def test_label_refuses_unknown_and_missing_attributes() -> None:
    data, coords = fake_night.values(minutes=30.0)
    with pytest.raises(
        results.SchemaError, match="attribute nmae: not in the schema; attribute name: missing"
    ):
        attrs = {("nmae" if k == "name" else k): v for k, v in fake_night.ATTRS.items()}
        results.label(data, coords, attrs)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda n: n.drop_vars("sky_temperature"), "sky_temperature: missing"),
        (lambda n: n.drop_vars("level_temperature_low"), "level_temperature_low: missing"),
        (lambda n: n.drop_vars("event_time"), "event_time: missing"),
        (lambda n: n.assign(attic_temperature=n["wind_speed"]), "attic_temperature: not in the schema"),
        (lambda n: n.drop_vars("operative_temperature"), "operative_temperature: missing"),
        (lambda n: n.drop_vars("event_mass"), "event_mass: missing"),
        (
            lambda n: n.drop_dims(OF_ROOMS).drop_vars(["leakage_flow", "air_changes", "ground_melted"]),
            "neither a room",
        ),
        (lambda n: n.isel(event=[0, 3, 2]).assign_coords(event=[0, 1, 2]), "event_time: goes back"),
        (lambda n: n.assign(wind_speed=n["wind_speed"].astype("float32")), "wind_speed: float32"),
        (lambda n: n.assign(energy=n["energy"].T), "energy: dimensions"),
        (lambda n: n.assign(wind_speed=n["wind_speed"] * np.nan), "not finite"),
        (lambda n: n.isel(time=slice(None, None, -1)), "time: does not rise"),
        (lambda n: n.assign_attrs(energy_residual=np.float64(2e-6)), "must close to 1e-06"),
        (lambda n: n.assign_attrs(energy_residual=np.float64(np.nan)), "must close"),
        (lambda n: n.assign_attrs(schema=np.int64(1)), "schema 1 where this version reads 6"),
        (lambda n: n.assign_attrs(invented="yes"), "attribute invented: not int"),
        (lambda n: n.drop_attrs(), "air_temperature: attributes"),
    ],
)
def test_check_refuses(night: xr.Dataset, change, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(results.SchemaError, match=words):
        results.check(change(night))


def test_check_finds_energy_that_got_lost(night: xr.Dataset) -> None:
    energy = night["energy"].copy(deep=True)
    energy.loc[{"account": "source"}] *= 1.0 + 1e-5
    with pytest.raises(results.SchemaError, match="the accounts miss"):
        results.check(night.assign(energy=energy))


def test_check_finds_energy_that_got_lost_in_a_stove(fire: xr.Dataset) -> None:
    # With the heat of the wood left out, the room still balances; the stove does not.
    energy = fire["energy"].copy(deep=True)
    energy.loc[{"account": "unburnt"}] *= 1.0 + 1e-3
    with pytest.raises(results.SchemaError, match="the accounts miss"):
        results.check(fire.assign(energy=energy))


def changed_mass(fire: xr.Dataset, stage: str, kilograms: float) -> xr.Dataset:
    mass = fire["fuel_mass"].copy(deep=True)
    mass[{"time": -1}] = mass.isel(time=-1) + kilograms * (mass["fuel_stage"] == stage)
    return fire.assign(fuel_mass=mass)


def test_check_finds_wood_that_got_lost(fire: xr.Dataset) -> None:
    put_on = float(fire["event_mass"].sum())
    results.check(changed_mass(fire, "burnt", 0.5e-9 * put_on))  # round-off is none
    for lost in (2e-9, 0.1, -0.1):
        with pytest.raises(results.SchemaError, match="the stages miss"):
            results.check(changed_mass(fire, "burnt", lost * put_on))
    moved = changed_mass(changed_mass(fire, "dry_wood", -0.1), "burnt", 0.1)
    with pytest.raises(results.SchemaError, match="less than nothing"):
        results.check(moved)


def test_check_looks_for_wood_from_the_moment_it_is_put_on(fire: xr.Dataset) -> None:
    late = fire["event_time"].copy(deep=True)
    late[1] += np.timedelta64(15, "m")
    with pytest.raises(results.SchemaError, match="the stages miss"):
        results.check(fire.isel(event=[0, 1]).assign(event_time=late.isel(event=[0, 1])))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda n: n.drop_vars("flue_flow"), "flue_flow: missing"),
        (lambda n: n.drop_vars("fuel_stage"), "fuel_stage: missing"),
        (lambda n: n.assign(relight_chance=n["relight_chance"] * 1.01), "relight_chance: outside 0 to 1"),
        (lambda n: n.assign(air_setting=n["air_setting"] - 0.5), "air_setting: outside 0 to 1"),
        (lambda n: n.assign_coords(fuel_stage=("fuel_stage", list("abcde"))), "fuel_stage: attributes"),
        (lambda n: with_stage(n, "smoke"), "fuel_stage: 'smoke' is not in the schema"),
        (lambda n: with_cause(n, "wind"), "event_by: 'wind' is not in the schema"),
        (lambda n: n.drop_attrs(deep=False).assign_attrs(fake_night.ATTRS), "attribute schema: missing"),
    ],
)
def test_check_refuses_of_a_fire(fire: xr.Dataset, change, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(results.SchemaError, match=words):
        results.check(change(fire))


def with_stage(dataset: xr.Dataset, name: str) -> xr.Dataset:
    stages = [*dataset["fuel_stage"].values.tolist()[:-1], name]
    attrs = dataset["fuel_stage"].attrs
    return dataset.assign_coords(fuel_stage=("fuel_stage", stages, attrs))


def with_cause(dataset: xr.Dataset, name: str) -> xr.Dataset:
    causes = dataset["event_by"].copy(deep=True)
    causes[0] = name
    return dataset.assign(event_by=causes)


@pytest.mark.parametrize("kind", ["night", "fire"])
def test_check_finds_air_that_got_lost(kind: str, request: pytest.FixtureRequest) -> None:
    # Conservation of mass: what comes in and does not leave is drawn by the fire.
    given = request.getfixturevalue(kind)
    for change, words in (
        (given["opening_flow"] * (1.0 + 1e-6) + 1e-9, "gets lost"),
        (given["opening_inflow"] - 1e-3, "less than nothing"),
    ):
        with pytest.raises(results.SchemaError, match=words):
            results.check(given.assign({str(change.name): change.assign_attrs(given[change.name].attrs)}))


def test_check_finds_air_of_a_reversed_flue_that_got_lost(fire: xr.Dataset) -> None:
    back = fire.copy(deep=True)
    brought = back["air_flow"].values.copy()
    back["air_flow"][:] = -brought
    with pytest.raises(results.SchemaError, match="gets lost"):
        results.check(back)
    back["opening_flow"][:, 3] -= 2.0 * brought  # leaves by the lee
    back["opening_inflow"][:, 3] = 0.0 * brought
    back["opening_flow"][:, 3] -= fire["opening_inflow"][:, 3]
    back["opening_flow"][:, 2] += fire["opening_inflow"][:, 3]
    back["opening_inflow"][:, 2] += fire["opening_inflow"][:, 3]
    results.check(back)


def test_every_group_is_whole_or_absent(fire: xr.Dataset, yard: xr.Dataset) -> None:
    for given in (fire, yard):
        for variable in schema.VARIABLES:
            if variable.name in given:
                with pytest.raises(results.SchemaError, match=f"{variable.name}: missing"):
                    results.check(given.drop_vars(variable.name))
    assert not [v.name for v in schema.VARIABLES if v.group == "room" and v.name in yard]
