"""What the result of a night may hold: every path, account, attribute and variable, declared once.

`results` builds, checks, writes and reads the Dataset by these tables.
"""

from dataclasses import dataclass

SCHEMA = 6
RESIDUAL_LIMIT = 1e-6  # share of the throughput of heat that the accounts may miss

INWARD = (
    "Positive into the room air, into the shelter where the path ends on a surface, into the stove where it "
    "ends there."
)
GAIN = "Energy that came in since the beginning is positive; so is a gain of stored energy."

PATHS: dict[str, str] = {
    "source_convective": "from the heat source into the air",
    "source_radiant": "from the heat source onto the surfaces, as radiation",
    "people": "from the sleepers",
    "wall_to_air": "from the inner face of the wall into the air",
    "roof_to_air": "from the inner face of the roof into the air",
    "window_to_air": "from the inner face of the windows into the air",
    "floor_to_air": "from the floor into the air",
    "contents_to_air": "from beds and gear into the air",
    "leakage": "carried in by air that enters through leaks and openings, less what leaves there",
    "outside_convection": "from the outdoor air to the outer face of the skin",
    "sky_radiation": "from sky and surroundings to the outer face of the skin, as radiation",
    "sun": "from the sun onto the skin, and through it onto the floor",
    "ground_edge": "in through the ground at the edge of the floor",
    "water_below": "from the water under the ice into it",
    "floor_outside": "from the outdoor air to the underside of a raised floor",
    "fire": "from the wood and coals that burn, in full",
    "unburnt": "gone up the flue unburnt, negative",
    "drying": "taken to dry the wood and gone up the flue as vapour, negative",
    "flue": "carried up the flue as heat above the outdoor air, negative",
    "pipe_outside": "from the outdoors to the part of the pipe that stands there",
    "boiling": "gone with the water that boils off the stove, negative",
    "spill": "from the reversed flue into the air",
    "stove_to_air": "from the stove's body into the air",
    "pipe_to_air": "from the pipe into the air",
    "stove_radiation": "from stove and pipe onto the surfaces, as radiation",
    "stove_outdoors": "from the outdoors to stove and pipe, where the stove burns in the open",
    "condensation": "from vapour that condenses or freezes inside, less what melting and drying take",
}
ACCOUNTS: dict[str, str] = {
    "source": "released by the heat source",
    "people": "given off by the sleepers",
    "leakage": "came in with air through leaks and openings",
    "outside_convection": "came in from the outdoor air through the skin",
    "sky_radiation": "came in from sky and surroundings through the skin",
    "sun": "came from the sun",
    "ground_edge": "came in through the ground at the edge of the floor",
    "water_below": "came in from the water under the ice",
    "floor_outside": "came in from the outdoor air through a raised floor",
    "fire": "in the wood and coals that burnt, whole",
    "unburnt": "went up the flue unburnt, negative",
    "drying": "went into drying the wood, negative",
    "flue": "went up the flue as heat, negative",
    "pipe_outside": "came in from the outdoors to the pipe there",
    "boiling": "went with the water that boiled off the stove, negative",
    "stove_outdoors": "came in from the outdoors to stove and pipe, where the stove burns in the open",
    "condensation": "set free by vapour that condensed or froze inside, less what melting and drying took",
    "stored_air": "gained by the room air",
    "stored_skin": "gained by the skin",
    "stored_ground": "gained by the floor and the ground under it",
    "stored_contents": "gained by beds and gear",
    "stored_stove": "gained by stove, pipe, what stands on the stove, and the hot matter in it",
}
STAGES: dict[str, str] = {
    "water": "water in the wood on the fire",
    "dry_wood": "wood on the fire without its water, not yet burnt",
    "coals": "coals on the fire",
    "ash": "ash in the stove",
    "burnt": "gone up the flue since the beginning: gas, burnt coal, vapour",
}
WATER: dict[str, str] = {
    "entered": "came in as vapour with the outdoor air",
    "left": "left as vapour with air and through the skin, negative",
    "sleepers": "given off by sleepers",
    "stored_air": "gained by the room air as vapour",
    "stored_skin": "gained by the skin's inner faces as frost and water",
    "stored_floor": "gained by the floor as frost and water; negative where bare snow gave some off",
    "stored_gear": "gained by wet gear and stacked wood: negative as they dry",
    "stored_bag": "gained by sleeping bags: a stated estimate",
}
STREAMS: dict[str, str] = {
    "plume": "warm air that rises from stove, pipe, a known source and sleepers, with the air that it takes along",
    "falling current": "air that falls along surfaces colder than it",
    "rising current": "air that rises along surfaces warmer than it",
    "fan": "air that a fan carries up or down",
    "room air": "all else between: what the room's own air makes up, so that every layer keeps its mass",
}
CAUSES: dict[str, str] = {"clock": "asked for at that time", "rule": "done by a rule"}
WORDS: dict[str, dict[str, str]] = {
    "path": PATHS,
    "account": ACCOUNTS,
    "fuel_stage": STAGES,
    "stream": STREAMS,
    "water_account": WATER,
    "event_by": CAUSES,
}

ATTRIBUTES: dict[str, type] = {
    "schema": int,  # raised on any change of the schema
    "name": str,  # of the scenario
    "invented": int,  # 1: the scenario describes no real camp
    "units": str,  # us or si: what people are shown; the Dataset itself is always in the units declared here
    "zone": str,  # time zone of the camp's clock; the Dataset's own times are UTC
    "scenario_given": str,  # the scenario as it was given, TOML
    "scenario_effective": str,  # the scenario with every default filled in, TOML
    "versions": str,  # of simtent and the libraries that matter
    "solver": str,  # its report
    "energy_residual": float,  # what the accounts miss, as a share of the throughput
    "air_note": str,  # what the model says about how the air moves; empty without a room
    "fire_note": str,  # what the model says about its fire; empty without one
}


@dataclass(frozen=True, slots=True)
class Variable:
    """One variable of the Dataset.

    kind   "float", "int", "text" or "time"
    group  "night" (always there), "room" (absent where the stove burns in the open), "fire", "band", "events",
           "damp", "what_if", "departures" or "findings"; each whole or absent
    sign   what a positive number means
    """

    name: str
    dims: tuple[str, ...]
    kind: str
    units: str
    long_name: str
    meaning: str
    standard_name: str = ""
    sign: str = ""
    group: str = "night"

    @property
    def attributes(self) -> dict[str, str]:
        """Attributes by the CF conventions (cfconventions.org); a time's units belong to its encoding."""
        given = {
            "units": self.units,
            "long_name": self.long_name,
            "standard_name": self.standard_name,
            "comment": f"{self.meaning} {self.sign}".strip(),
        }
        return {key: text for key, text in given.items() if text}


def _levels(name: str, long_name: str, meaning: str, standard: str = "", group: str = "room") -> Variable:
    return Variable(name, ("time", "level"), "float", "degC", long_name, meaning, standard, group=group)


def _series(
    name: str,
    units: str,
    long_name: str,
    meaning: str,
    standard: str = "",
    sign: str = "",
    group: str = "night",
) -> Variable:
    return Variable(name, ("time",), "float", units, long_name, meaning, standard, sign, group)


def _room(
    name: str, dims: tuple[str, ...], units: str, long_name: str, meaning: str, sign: str = ""
) -> Variable:
    return Variable(name, dims, "float", units, long_name, meaning, sign=sign, group="room")


def _damp(
    name: str, dims: tuple[str, ...], units: str, long_name: str, meaning: str, standard: str = ""
) -> Variable:
    return Variable(name, dims, "float", units, long_name, meaning, standard, group="damp")


def _fire(name: str, units: str, long_name: str, meaning: str, sign: str = "") -> Variable:
    return _series(name, units, long_name, meaning, sign=sign, group="fire")


def _difference(name: str, long_name: str, meaning: str) -> Variable:
    return _series(name, "K", long_name, meaning, sign="Positive where the head is warmer.", group="band")


def _text(name: str, dim: str, long_name: str, meaning: str, group: str) -> Variable:
    return Variable(name, (dim,), "text", "", long_name, meaning, group=group)


def _event(name: str, long_name: str, meaning: str) -> Variable:
    return Variable(f"event_{name}", ("event",), "float", "kg", long_name, meaning, group="events")


def _finding(name: str, long_name: str, meaning: str) -> Variable:
    return _text(f"finding_{name}", "finding", long_name, meaning, "findings")


SPREAD = (
    "(standard, of the level's air) in what nobody has measured: walls, leakage, heat, mixing, forecast; with logs in "
    "what they leave open and what they miss."
)
OF_DIFFERENCE = "(standard, of the difference itself) in what nobody has measured, as of the levels."
FELT = (
    "Operative temperature: the mean of the air's and of what a body on the axis, as far from stove or source as the "
    "bed, sees from there, without sunshine."
)
UP = "Positive up the flue."
BACKWARDS = "negative where the flue runs backwards."
ARRIVING = "where the flue runs backwards, of the air that comes down."

COORDINATES: tuple[Variable, ...] = (
    Variable("time", ("time",), "time", "", "time", "UTC; the attribute zone holds the camp's.", "time"),
    Variable(
        "height",
        ("height",),
        "float",
        "m",
        "height of the layer's centre",
        "Above the ground.",
        "height",
        group="room",
    ),
    _text("level", "level", "named height", "Named in the scenario; its height is level_height.", "room"),
    _text("surface", "surface", "surface", "Inner faces by layer from the floor up, outer, floor.", "room"),
    Variable(
        "interface",
        ("interface",),
        "float",
        "m",
        "height of the boundary between two layers",
        "Above the ground; from the lowest up.",
        group="room",
    ),
    _text("stream", "stream", "stream of air", "One way by which air moves up or down.", "room"),
    _text("opening", "opening", "opening", "Leaks, vents and doors; apart by the side of the wind.", "room"),
    _text("path", "path", "way the heat flows", "One way by which heat flows.", "night"),
    _text("account", "account", "energy account", "One entry of the energy ledger.", "night"),
    _text("water_account", "water_account", "water account", "One entry of the water ledger.", "damp"),
    _text("fuel_stage", "fuel_stage", "what became of the wood", "From wood to ash and gas.", "fire"),
    _text("departure", "departure", "validity departure", "Where the run left a law's range.", "departures"),
    Variable("event", ("event",), "int", "", "event", "Counted from 0.", group="events"),
    Variable("finding", ("finding",), "int", "", "finding", "Counted from 0.", group="findings"),
    Variable("spilt", ("spilt",), "float", "1", "share spilt", "Asked about, not found.", group="what_if"),
)
NIGHT: tuple[Variable, ...] = (
    _series("outdoor_temperature", "degC", "outdoor air temperature", "As given.", "air_temperature"),
    _series("sky_temperature", "degC", "temperature of the sky", "Of a black body that radiates as it does."),
    _series("wind_speed", "m s-1", "wind speed", "At the shelter's height.", "wind_speed"),
    _series(
        "sunshine",
        "W m-2",
        "sunshine on level ground",
        "Direct and diffuse, without a shadow; 0 without a latitude.",
        "surface_downwelling_shortwave_flux_in_air",
        "Never negative.",
    ),
    _series(
        "heat_release",
        "W",
        "heat released",
        "By the heat source, convective and radiant; or by the fire in its box, without what stays unburnt.",
        sign="Positive out of source or fire.",
    ),
    Variable("heat_flow", ("time", "path"), "float", "W", "heat flow", "Rate along one path.", sign=INWARD),
    Variable("energy", ("time", "account"), "float", "J", "energy", "Sum since the beginning.", sign=GAIN),
)
ROOM: tuple[Variable, ...] = (
    Variable(
        "air_temperature",
        ("time", "height"),
        "float",
        "degC",
        "air temperature",
        "Mean over one layer of air.",
        "air_temperature",
        group="room",
    ),
    _levels("level_temperature", "air temperature at the level", "Between the layers.", "air_temperature"),
    _levels(
        "level_temperature_low", "low end of the usual range", f"One deviation down {SPREAD}", group="band"
    ),
    _levels(
        "level_temperature_high", "high end of the usual range", f"One deviation up {SPREAD}", group="band"
    ),
    _difference("head_over_floor", "air at the head over air at the floor", "By the named levels."),
    _difference("head_over_floor_low", "low end of its usual range", f"One deviation down {OF_DIFFERENCE}"),
    _difference("head_over_floor_high", "high end of its usual range", f"One deviation up {OF_DIFFERENCE}"),
    _levels("operative_temperature", "felt temperature at the level", FELT),
    _room("felt_temperature", ("time", "height"), "degC", "felt temperature", FELT),
    Variable(
        "level_height",
        ("level",),
        "float",
        "m",
        "height of the level",
        "Above the ground.",
        "height",
        group="room",
    ),
    Variable(
        "surface_temperature",
        ("time", "surface"),
        "float",
        "degC",
        "temperature of the surface",
        "Mean over the surface.",
        group="room",
    ),
    _room(
        "ground_melted",
        ("time",),
        "kg",
        "water melted in the ground",
        "Since the beginning, under the floor: of snow, ice, frozen soil; it stays where it melted.",
        "Negative where more has frozen.",
    ),
    _room(
        "layer_flow",
        ("time", "interface", "stream"),
        "kg s-1",
        "flow of air from layer to layer",
        "Through the boundary between two layers.",
        "Positive upward.",
    ),
    _room(
        "opening_flow",
        ("time", "opening"),
        "kg s-1",
        "net flow of air through the opening",
        "What enters less what leaves.",
        "Positive inward.",
    ),
    _room(
        "opening_inflow",
        ("time", "opening"),
        "kg s-1",
        "air that enters through the opening",
        "Without what leaves through it at the same time, higher up or by gusts.",
        "Never negative.",
    ),
    _room("opening_bottom", ("opening",), "m", "height of the opening's lowest part", "Above the ground."),
    _room("opening_top", ("opening",), "m", "height of the opening's highest part", "Above the ground."),
    _room(
        "leakage_flow",
        ("time",),
        "kg s-1",
        "air that enters",
        "Outdoor air through all leaks and openings together.",
        "Never negative.",
    ),
    _room(
        "air_changes",
        ("time",),
        "h-1",
        "air changes per hour",
        "Mass that enters over the mass of the room's air at that time.",
        "Never negative.",
    ),
    _room(
        "pressure_difference",
        ("time", "height"),
        "Pa",
        "pressure inside over that outside",
        "Against undisturbed outdoor air at the same height; wind adds its own on each side.",
        "Positive where air is pushed out.",
    ),
    _room(
        "layer_mass", ("time", "height"), "kg", "mass of the layer's air", "At the temperature that it has."
    ),
    _room(
        "layer_inflow",
        ("time", "height"),
        "kg s-1",
        "outdoor air that enters the layer",
        "Through all leaks and openings at its height.",
        "Never negative.",
    ),
    _room(
        "mixing_flow",
        ("time", "interface"),
        "kg s-1",
        "air that neighbouring layers exchange",
        "By mixing, as much up as down, beside the streams.",
        "Never negative.",
    ),
)
FIRE: tuple[Variable, ...] = (
    _fire("stove_temperature", "degC", "temperature of the stove's body", "Mean over the body's metal."),
    _fire("firebox_temperature", "degC", "temperature in the firebox", "Hot matter of the fire and its gas."),
    _fire(
        "flue_gas_temperature",
        "degC",
        "temperature of the flue gas at the collar",
        f"Leaving the stove; {ARRIVING}",
    ),
    _fire(
        "flue_exit_temperature",
        "degC",
        "temperature of the flue gas at the top",
        f"Leaving the pipe; {ARRIVING}",
    ),
    _fire("pipe_temperature", "degC", "temperature of the pipe", "Metal of its hottest segment."),
    _fire(
        "jack_temperature", "degC", "temperature of the pipe at its jack", "Metal of the last segment inside."
    ),
    Variable(
        "fuel_mass",
        ("time", "fuel_stage"),
        "float",
        "kg",
        "what became of the wood",
        "All stages together are the wood put on so far.",
        sign="Never negative.",
        group="fire",
    ),
    _fire(
        "draft_pressure",
        "Pa",
        "draught of flue and shelter",
        "Buoyancy of the gas in the flue, with the shelter's own pressure at the stove.",
        UP,
    ),
    _fire("flue_flow", "kg s-1", "flow of flue gas", "Through the collar.", f"{UP[:-1]}, {BACKWARDS}"),
    _fire(
        "air_flow",
        "kg s-1",
        "flow of air to the fire",
        "Through inlets, leaks, open door.",
        f"Positive in, {BACKWARDS}",
    ),
    _fire("air_setting", "1", "air setting", "Share of the inlets' full opening."),
    _fire("damper_setting", "1", "damper setting", "Share open; 1 where the pipe has no damper."),
    _fire(
        "unburnt",
        "W",
        "heat lost unburnt",
        "Gas of the wood that leaves unburnt: up the flue, or into the shelter where that runs backwards.",
        UP,
    ),
    _fire("relight_chance", "1", "chance that the coals light the next load", "An assumption, not a law."),
)
EVENTS: tuple[Variable, ...] = (
    Variable("event_time", ("event",), "time", "", "time of the event", "UTC.", group="events"),
    _text("event_what", "event", "the event", "What changed at that moment.", "events"),
    _event("mass", "wood put on", "Moist; 0 if none."),
    _event("coals", "coals at that moment", "Before anything is put on; 0 if none."),
    _text("event_by", "event", "what brought the event about", "One of clock, rule.", "events"),
)
DAMP: tuple[Variable, ...] = (
    _damp(
        "humidity_ratio",
        ("time", "height"),
        "kg kg-1",
        "humidity ratio",
        "Vapour by dry air.",
        "humidity_mixing_ratio",
    ),
    _damp(
        "dew_point",
        ("time", "height"),
        "degC",
        "dew point, or frost point below 0 degC",
        "Saturation over ice below 0 degC, over water above.",
    ),
    _damp(
        "frost", ("time", "surface"), "kg m-2", "frost on the surface", "Ice; none counted on outer faces."
    ),
    _damp(
        "condensate",
        ("time", "surface"),
        "kg m-2",
        "water on the surface",
        "Liquid; none counted on outer faces.",
    ),
    _damp("surface_area", ("surface",), "m2", "area of the surface", "By which it exchanges heat."),
    Variable(
        "water",
        ("time", "water_account"),
        "float",
        "kg",
        "water",
        "Sum since the beginning.",
        sign="What came in or was given off is positive; so is a gain of what is stored.",
        group="damp",
    ),
    _damp(
        "dripped",
        ("time",),
        "kg",
        "water that ran off or dripped",
        "From skin to floor, since the beginning.",
    ),
)
WHAT_IF: tuple[Variable, ...] = (
    Variable(
        "what_if_carbon_monoxide",
        ("spilt", "time", "height"),
        "float",
        "1e-6",
        "carbon monoxide if a share of the flue's came in",
        "By volume; no forecast: nobody knows the share.",
        sign="Never negative.",
        group="what_if",
    ),
    Variable(
        "what_if_carboxyhaemoglobin",
        ("spilt", "time"),
        "float",
        "1",
        "share of the blood's haemoglobin that would carry it",
        "Of one at rest at the cot's height.",
        group="what_if",
    ),
)
FINDINGS: tuple[Variable, ...] = (
    _finding("level", "level of the finding", "One of note, caution, stop."),
    _finding("what", "what was found", "A sentence."),
    _finding("where", "where", "Place in the shelter; empty if everywhere."),
    _finding("when", "when", "Time of the night; empty if always."),
    _finding("number", "number", "The number found, with its unit; empty if none."),
    _finding("limit", "limit", "What the number is held against; empty if none."),
    _finding("source", "source", "Where the limit or the sentence comes from."),
    _finding("todo", "what to do", "A sentence."),
)
VARIABLES: tuple[Variable, ...] = NIGHT + ROOM + FIRE + EVENTS + DAMP + WHAT_IF + FINDINGS
TABLE: dict[str, Variable] = {variable.name: variable for variable in COORDINATES + VARIABLES}
