"""The scenario: frozen, with its raw tree, from which a changed one is built."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, cast, overload

from simtent.errors import Fault
from simtent.scenario.build import build_parts
from simtent.scenario.crew import Crew, Model
from simtent.scenario.damp import Damp
from simtent.scenario.effective import filled, seen_from
from simtent.scenario.fields import Heading
from simtent.scenario.fit import Fit
from simtent.scenario.fitted import Fitted
from simtent.scenario.heat import Heat
from simtent.scenario.instruments import Instruments, WhatIf
from simtent.scenario.logs import Log
from simtent.scenario.night import Night, Wish
from simtent.scenario.outdoors import Outdoors
from simtent.scenario.priors import OF_SHELTERS, Prior, after_logs, priors_of
from simtent.scenario.read import read_replacements
from simtent.scenario.shelter import Shelter
from simtent.scenario.site import Levels, Site
from simtent.scenario.stoking import Stoking
from simtent.scenario.stove import Stove
from simtent.scenario.tree import Table, merge
from simtent.scenario.trip import Carry, TripNight
from simtent.scenario.wood import Wood
from simtent.scenario.write import changed_from, toml_text


@dataclass(frozen=True, kw_only=True)
class Scenario:
    """A night in a shelter, in SI units; two are equal if they say the same, wherever it was written.

    levels   named heights above the ground [m], from the top
    shelter  None where a stove burns in the open; then levels play no part
    heat     a known source of heat; None where there is a stove, with its wood and stoking
    log      files of logged nights, in the order of the scenario
    trip     nights for which wood is counted, in the order of the scenario
    variants what might be changed, by names, as it was given
    damp     what gives off water; None where vapour is not counted
    fit      what logged nights may change; None where it is left to the fit
    fitted   what logged nights said; None where none was asked
    path     the file it was loaded from
    tree     what was given, with its places
    """

    name: str
    invented: bool
    units: Literal["us", "si"]
    night: Night
    wish: Wish
    levels: Mapping[str, float]
    site: Site
    outdoors: Outdoors
    shelter: Shelter | None
    heat: Heat | None
    stove: Stove | None
    wood: Wood | None
    stoking: Stoking | None
    crew: Crew
    damp: Damp | None
    model: Model
    what_if: WhatIf
    instruments: Instruments
    log: tuple[Log, ...] = ()
    carry: Carry
    trip: tuple[TripNight, ...] = ()
    variants: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    fit: Fit | None = None
    fitted: Fitted | None = None
    path: Path = field(compare=False)
    tree: Table = field(compare=False, repr=False)

    @property
    def stem(self) -> str:
        """Name of the file without its ending."""
        return self.path.stem

    @property
    def given(self) -> str:
        """What was given, merged, as TOML text; paths as seen from the scenario's folder."""
        return toml_text(seen_from(self.tree, self.path.parent))

    @property
    def effective(self) -> str:
        """What was given and every default, as TOML text; loaded in the same folder it is equal."""
        shape = self.shelter.shape if self.shelter else None
        return toml_text(filled(seen_from(self.tree, self.path.parent), shape))

    @property
    def changes(self) -> tuple[str, ...]:
        """What overlays, settings and replacements changed from the file, each as key = value.

        What tells of a fit, or of variants, or in which units it is told, moves no number of a night: left out.
        """
        apart = ("fit", "fitted", "variants", "units")
        nodes = {key: node for key, node in self.tree.nodes.items() if key not in apart}
        return tuple(changed_from(str(self.path), Table(nodes, self.tree.origin)))

    @property
    def repairs(self) -> tuple[str, ...]:
        """What had to be repaired in the files that the scenario names, a sentence each."""
        return (*self.outdoors.repairs, *(self.heat.repairs if self.heat else ()))

    @property
    def leak_below_skirt(self) -> float:
        """Leakage area at 4 Pa along the floor's edge [m2]: as given, or by the skirt."""
        given = self.model.leak_below_skirt
        if given is not None:
            return given
        return self.shelter.leak_below_skirt if self.shelter else 0.0

    def priors(self) -> tuple[Prior, ...]:
        """Every field that nothing has measured yet and that plays a part, one standard deviation lower and higher.

        With [fitted], what logs leave open stands in place of the fields that they told of.
        """
        found = priors_of({"model": self.model, "outdoors": self.outdoors}, self.outdoors)
        if self.shelter is None:
            found = tuple(prior for prior in found if prior.key not in OF_SHELTERS)
        return after_logs(self, found)

    @overload
    def replace(self, key: str, value: Any, /) -> "Scenario": ...
    @overload
    def replace(self, key: Mapping[str, Any], /) -> "Scenario": ...
    def replace(self, key: str | Mapping[str, Any], value: Any = None, /) -> "Scenario":
        """A scenario with one value replaced, or several given as a mapping of dotted keys.

        Values are written as in a file: "5 mph", 1.2, ["10 oz/yd2 cotton canvas"]; "none" or None takes a key
        away. Raises InputError with every fault.
        """
        values = {key: value} if isinstance(key, str) else key
        return build(merge(self.tree, *read_replacements(values)), self.path)


def build(tree: Table, path: Path, earlier: Iterable[Fault] = ()) -> Scenario:
    """A scenario out of a merged raw tree; InputError with every fault, those found earlier included."""
    parts = build_parts(tree, path, earlier)
    heading = cast(Heading, parts["heading"])
    return Scenario(
        name=heading.name,
        invented=heading.invented,
        units=heading.units,
        night=cast(Night, parts["night"]),
        wish=cast(Wish, parts["wish"]),
        levels=cast(Levels, parts["levels"]).root,
        site=cast(Site, parts["site"]),
        outdoors=cast(Outdoors, parts["outdoors"]),
        shelter=cast(Shelter | None, parts.get("shelter")),
        heat=cast(Heat | None, parts.get("heat")),
        stove=cast(Stove | None, parts.get("stove")),
        wood=cast(Wood | None, parts.get("wood")),
        stoking=cast(Stoking | None, parts.get("stoking")),
        crew=cast(Crew, parts["crew"]),
        damp=cast(Damp | None, parts.get("damp")),
        model=cast(Model, parts["model"]),
        what_if=cast(WhatIf, parts["what_if"]),
        instruments=cast(Instruments, parts["instruments"]),
        log=heading.log,
        carry=cast(Carry, parts["carry"]),
        trip=heading.trip,
        variants=heading.variants,
        fit=cast(Fit | None, parts.get("fit")),
        fitted=cast(Fitted | None, parts.get("fitted")),
        path=path,
        tree=tree,
    )
