"""[damp]: what gives off water inside; where this table stands, a night counts vapour, frost and what drips."""

from typing import Annotated

from simtent.scenario.quantity import Quantity, text_default
from simtent.scenario.section import Section


class Damp(Section):
    """Water that sleepers and wet things give off, and what the skin can hold of it."""

    breath_each: Annotated[
        float,
        Quantity(
            kind="mass_flow", unit_si="g/h", unit_us="oz/h", allowed=("0 g/h", "200 g/h"), usual=("5 g/h", "15 g/h"),
            meaning="water that each sleeper breathes out, over what is breathed in",
            source="7 to 11 g/h at rest in cold air by the formula of ISO 11079 (second-hand)",
        ),
    ] = text_default("10 g/h")  # fmt: skip
    skin_each: Annotated[
        float,
        Quantity(
            kind="mass_flow", unit_si="g/h", unit_us="oz/h", allowed=("0 g/h", "500 g/h"), usual=("8 g/h", "30 g/h"),
            meaning="water that each sleeper's skin gives off into the sleeping bag",
            source="with the breath 40 g/h asleep: BS 5250, from memory; 20 to 60 g/h by other accounts",
        ),
    ] = text_default("30 g/h")  # fmt: skip
    bag_area: Annotated[
        float,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("0.5 m2", "6 m2"), usual=("1.5 m2", "3 m2"),
            meaning="outer surface of each sleeping bag or quilt that faces the air",
        ),
    ] = text_default("2 m2")  # fmt: skip
    gear_at: Annotated[
        float | None,
        Quantity(
            kind="length", unit_si="m", unit_us="ft", allowed=("0 m", "5 m"), usual=("30 cm", "2.5 m"),
            meaning="height from which wet gear (crew.wet_gear) hangs down; without it, that of the head",
        ),
    ] = None  # fmt: skip
    gear_area: Annotated[
        float,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("0.01 m2", "30 m2"), usual=("0.3 m2", "4 m2"),
            meaning="surface of the wet gear that dries",
        ),
    ] = text_default("1 m2")  # fmt: skip
    snow: Annotated[
        float,
        Quantity(
            kind="mass", unit_si="g", unit_us="oz", allowed=("0 kg", "100 kg"), usual=("0 kg", "3 kg"),
            meaning="snow brought in on boots and clothes, on the floor as the night begins",
        ),
    ] = text_default("0 g")  # fmt: skip
    wood: Annotated[
        float,
        Quantity(
            kind="mass", unit_si="g", unit_us="oz", allowed=("0 kg", "100 kg"), usual=("0 kg", "5 kg"),
            meaning="water in wood stacked inside that may dry off before it burns",
        ),
    ] = text_default("0 g")  # fmt: skip
    wood_area: Annotated[
        float,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("0.01 m2", "50 m2"), usual=("0.3 m2", "5 m2"),
            meaning="surface of that wood, as if it were wet; near the floor",
        ),
    ] = text_default("1 m2")  # fmt: skip
    passes: Annotated[
        float,
        Quantity(
            kind="permeance", unit_si="ng/(s m2 Pa)", unit_us="perm",
            allowed=("0 perm", "2000 perm"), usual=("0 perm", "400 perm"),
            meaning="vapour that walls and roof let through, by its pressure; 0 for coated cloth. Uncoated canvas of "
            "2000 g/(m2 24 h), a relief specification's least, passes some 290 perm if its test had 1.4 kPa between "
            "both sides, which it does not say",
        ),
    ] = text_default("0 perm")  # fmt: skip
    holds: Annotated[
        float,
        Quantity(
            kind="areal_density", unit_si="g/m2", unit_us="oz/yd2", allowed=("1 g/m2", "2 kg/m2"),
            usual=("20 g/m2", "200 g/m2"),
            meaning="water that the skin's inner face holds; more runs off or drips to the floor",
        ),
    ] = text_default("60 g/m2")  # fmt: skip
