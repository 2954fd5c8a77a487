"""Every kind of finding, declared once: its key, its levels, when it is told, where it comes from.

No finding is made elsewhere: what is computed says only what stands in the night, and OUTPUTS.md lists them all.
"""

from dataclasses import dataclass

from simtent.assess.findings import Finding, Level

PRACTICE = "common practice, no source"
HOUSES = "National Ag Safety Database d001052, for houses; the temperatures: an assumption, no source"
GASES = (
    "limits: WHO from memory, NIOSH second-hand, verify both; blood: Coburn, Forster and Kane, second-hand; alarms: "
    "UL 2034 and EN 50291, second-hand"
)
NOTE: tuple[Level, ...] = ("note",)
CAUTION: tuple[Level, ...] = ("caution",)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of finding.

    key     its name, the same as long as it means the same
    levels  that it can have, the mildest first
    told    when it is told, words after "told"
    source  where its sentence or its limit comes from
    """

    key: str
    levels: tuple[Level, ...]
    told: str
    source: str = PRACTICE

    def found(
        self,
        *,
        what: str,
        todo: str,
        level: Level | None = None,
        where: str = "",
        when: str = "",
        number: str = "",
        limit: str = "",
        detail: str = "",
    ) -> Finding:
        """A finding of this kind; `detail` goes on with its source. ValueError for a level that is not declared."""
        level = self.levels[0] if level is None and len(self.levels) == 1 else level
        if level not in self.levels:
            raise ValueError(f"{self.key} has no level {level!r}, only {', '.join(self.levels)}")
        return Finding(level, what, todo, f"{self.source}{detail}", where, when, number, limit)


# Standing cautions.
CARBON_MONOXIDE = Kind("carbon-monoxide", CAUTION, "always")
VENTS = Kind("vents", CAUTION, "with a shelter")
FLUELESS = Kind(
    "flueless-burner", CAUTION, "with a shelter",
    "Thomassen, Brattebo and Rostrup 2004, Am J Emerg Med 22:204 (abstract): a cooker in a tent",
)  # fmt: skip
DISTANCES = Kind(
    "distances", CAUTION, "always",
    "stove: National Ag Safety Database d001052; pipe: common practice, no source",
)  # fmt: skip
TENT_FIRE = Kind(
    "tent-fire", CAUTION, "with a shelter",
    "US Army safety article on heating tents; for the knife: common practice, no source",
)  # fmt: skip
HEATER = Kind("heater", CAUTION, "without a stove")
GIVEN_HEAT = Kind("given-heat", CAUTION, "without a stove")
FIRST_FIRING = Kind(
    "first-firing", CAUTION, "with a stove", "common practice; zinc fumes from memory, not checked"
)
GLOW = Kind("thin-stove", CAUTION, "with a stove")
CREOSOTE = Kind(
    "creosote", CAUTION, "with a stove",
    "Alaska Department of Environmental Conservation, second-hand; the rest common practice, no source",
)  # fmt: skip
SMOKE = Kind("smoke", CAUTION, "with a stove")
NO_ARRESTOR = Kind("no-arrestor", CAUTION, "with a stove whose pipe has no spark arrestor")
ASHES = Kind(
    "ashes", CAUTION, "with a stove",
    "wood kept at 77 degC: Babrauskas and others 2007 (abstract); the rest common practice, no source",
)  # fmt: skip
CALCULATED_FIRE = Kind("calculated-fire", CAUTION, "with a stove")
DEFERS = Kind("defers", CAUTION, "always, the last of all")
LOGGED = Kind("logged", CAUTION, "with logged nights")
STANDING = (
    CARBON_MONOXIDE, VENTS, FLUELESS, DISTANCES, TENT_FIRE, HEATER, GIVEN_HEAT, FIRST_FIRING, GLOW, CREOSOTE, SMOKE,
    NO_ARRESTOR, ASHES, CALCULATED_FIRE, DEFERS, LOGGED,
)  # fmt: skip

# What is found in a night.
FLUE_BACKWARDS = Kind(
    "flue-backwards", CAUTION, "where the flue runs backwards while something burns or glows"
)
COLD_FLUE_BACKWARDS = Kind(
    "cold-flue-backwards", NOTE, "where the flue of a shelter runs backwards over a cold stove"
)
COOL_FLUE = Kind(
    "cool-flue", CAUTION, "where gas at the top of the pipe is under 121 degC for half an hour while wood burns",
    "common practice, no source; Alaska Department of Environmental Conservation: 121 degC, second-hand",
)  # fmt: skip
STOVE_GLOWS = Kind("stove-glows", CAUTION, "where the stove's body is hotter than 600 degC")
WEAK_DRAUGHT = Kind(
    "weak-draught",
    CAUTION,
    "where the draught is under 2 Pa while something burns, a quarter of an hour after lighting",
)
CLOTH_CLOSE = Kind(
    "cloth-close", ("note", "caution", "stop"),
    "for walls, roof and bedding whose distance is given; a caution from 80 degC or within 914 mm, a stop from 120 "
    "degC or 3 kW/m2",
    HOUSES,
)  # fmt: skip
WOOD_CLOSE = Kind(
    "wood-close", ("note", "caution", "stop"),
    "for stacked wood whose distance is given; a caution from 77 degC or within 914 mm, a stop from 3 kW/m2",
    "Babrauskas and others 2007 (abstract); distance: National Ag Safety Database d001052, for houses",
)  # fmt: skip
DISTANCE_NOT_GIVEN = Kind(
    "distance-not-given", NOTE, "where the file does not say how far the stove is from something",
    "National Ag Safety Database d001052, written for houses",
)  # fmt: skip
HOT_JACK = Kind(
    "hot-jack", ("caution", "stop"),
    "where the pipe is hotter than 100 degC at the skin; a stop from 260 degC",
    "common practice, no source; silicone from memory",
)  # fmt: skip
MELTS_IN = Kind(
    "melts-in", CAUTION, "where the stove melts more than 5 mm into snow or ice under it",
    "closed form, all that the stove shines down melts; the shares that boards let through: an assumption",
)  # fmt: skip
SPILT_SHARES = Kind(
    "spilt-shares", CAUTION, "with a fire in a shelter, for each share that [what_if] asks about",
    f"{GASES}, an alarm hanging anywhere inside; emissions: open burning, second-hand, and charcoal, from memory, an "
    "upper bracket",
)  # fmt: skip
METER_SHOWED = Kind(
    "meter-showed", ("caution", "stop"),
    "where instruments.carbon_monoxide is above 0; a stop from 200 ppm",
    GASES,
)  # fmt: skip
METER_SHOWED_NOTHING = Kind("meter-showed-nothing", NOTE, "where instruments.carbon_monoxide is 0")
LITTLE_AIR = Kind(
    "little-air", ("note", "caution", "stop"),
    "where carbon dioxide of sleepers would settle above 1500 ppm; a caution above 5000 ppm, a stop above 40,000",
    "closed form (Persily and de Jonge 2017, from memory); 5000 ppm second-hand",
)  # fmt: skip
SMALL_OPENINGS = Kind(
    "small-openings", CAUTION, "where a house with such a fire would need larger openings, low or high",
    "International Residential Code M1703, written for houses; none for tents was found",
)  # fmt: skip
BAG_LABEL = Kind(
    "bag-label", ("note", "caution"),
    "where it feels colder at the cot than a bag's printed comfort with 5 K to spare; a caution below its limit",
    "the bag's own label; what a label assumes: ISO 23537-1, second-hand; margin: common practice, no source",
)  # fmt: skip
THIN_PAD = Kind(
    "thin-pad", NOTE, "where more than half of what a sleeper gives off would go through the pad",
    "closed form; area and warmth of the body on the pad: assumptions, common practice, no source",
)  # fmt: skip
HEAD_OVER_FLOOR = Kind(
    "head-over-floor", NOTE,
    "where the air at a seated head is warmer than at the ankles by more than the widest class of ISO 7730 allows",
    "ISO 7730, second-hand: for seated, lightly clothed people indoors; it compares nights and judges none",
)  # fmt: skip
FROST_INSIDE = Kind(
    "frost-inside", CAUTION, "with [damp], where frost grows on the inside of the skin",
    "vapour balance, closed form; what frost closes: common practice, no source",
)  # fmt: skip
SKIN_DRIPS = Kind(
    "skin-drips", NOTE, "with [damp], where water runs down the skin or drips",
    "what the skin holds ([damp] holds) is an assumption",
)  # fmt: skip
WET_BAGS = Kind(
    "wet-bags", NOTE, "with [damp], where what sleepers give off stays in their bags",
    "a stated estimate of simtent; 92 to 800 g gained over six uses: Havenith, den Hartog & Heus 2004, "
    "Ergonomics 47:1424, abstract",
)  # fmt: skip
PIPE_READ = Kind(
    "pipe-read", ("note", "caution", "stop"),
    "where instruments.flue is given; a caution outside what practice calls usual, a stop where it is hotter than the "
    "pipe stands",
)  # fmt: skip
BEYOND_LOGS = Kind(
    "beyond-logs", ("note", "caution"),
    "with [fitted], where the night is colder or warmer than all that was logged; a caution where its range is twice "
    "as wide for that",
    "own rule: what readings missed, times 1 + distance / span of the logs",
)  # fmt: skip
FILE_MENDED = Kind("file-mended", NOTE, "for each repair of the scenario's files", "the scenario's own files")
LAW_LEFT = Kind(
    "law-left", NOTE, "for each place where a law's range was left", "validity range given with the law"
)
IN_A_NIGHT = (
    FLUE_BACKWARDS, COLD_FLUE_BACKWARDS, COOL_FLUE, STOVE_GLOWS, WEAK_DRAUGHT, CLOTH_CLOSE, WOOD_CLOSE,
    DISTANCE_NOT_GIVEN, HOT_JACK, MELTS_IN, SPILT_SHARES, METER_SHOWED, METER_SHOWED_NOTHING, LITTLE_AIR,
    SMALL_OPENINGS, BAG_LABEL, THIN_PAD, HEAD_OVER_FLOOR, FROST_INSIDE, SKIN_DRIPS, WET_BAGS, PIPE_READ, BEYOND_LOGS,
    FILE_MENDED, LAW_LEFT,
)  # fmt: skip
