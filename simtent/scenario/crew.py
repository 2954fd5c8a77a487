"""[crew] and [model]: the sleepers, and what no tape measures."""

from dataclasses import dataclass
from typing import Annotated

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.quantity import Count, Factor, Quantity, Spread, Words, text_default
from simtent.scenario.section import Section


def _rating(meaning: str, usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="temperature", unit_si="degC", unit_us="degF", allowed=("-70 degC", "30 degC"), usual=usual,
        meaning=meaning,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class PadText(Quantity):
    """A pad's resistance, which makers print as an R-value of one of two systems."""

    def example(self) -> str:
        """How the value is written."""
        return 'Write the R-value with its system, "R 4.8 us" or "R 0.85 si", or "0.85 m2 K/W"'


class Bag(Section):
    """[crew.bag]: what is printed on the sleeping bag; nothing here rates one."""

    comfort: Annotated[
        float, _rating("comfort temperature as the maker prints it on the bag", ("-25 degC", "15 degC"))
    ]
    limit: Annotated[
        float, _rating("limit temperature as the maker prints it on the bag", ("-35 degC", "10 degC"))
    ]

    def check_together(self, _span: Span | None) -> None:
        """The limit lies below comfort."""
        if self.limit >= self.comfort:
            todo = "Copy both from the bag's label: comfort is the warmer of the two"
            raise InputError(Fault("the limit is not below comfort", key="limit", todo=todo))


class Crew(Section):
    """The people inside."""

    asleep: Annotated[int, Count(allowed=(0, 20), usual=(0, 8), meaning="how many sleep inside")] = 0
    heat_each: Annotated[
        float,
        Quantity(
            kind="power", unit_si="W", unit_us="Btu/h", allowed=("0 W", "300 W"), usual=("40 W", "120 W"),
            prior=Spread.relative(0.2),
            meaning="heat that each gives to the air around the cot's height, without moisture",
        ),
    ] = text_default("60 W")  # fmt: skip
    bag: Annotated[
        Bag | None, Words(meaning="the sleeping bag's own label, to be held against what is felt in bed")
    ] = None
    pad: Annotated[
        float | None,
        PadText(
            kind="resistance", unit_si="m2 K/W", unit_us="ft2 h degF/Btu", allowed=("0.02 m2 K/W", "5 m2 K/W"),
            usual=("0.2 m2 K/W", "1.5 m2 K/W"),
            meaning="thermal resistance of all pads under the sleeper as their makers print it, added up",
        ),
    ] = None  # fmt: skip
    wet_gear: Annotated[
        float,
        Quantity(
            kind="mass", unit_si="g", unit_us="lb", allowed=("0 kg", "50 kg"), usual=("0 kg", "3 kg"),
            meaning="water in wet clothes and gear to dry tonight; counted with [damp]",
        ),
    ] = text_default("0 g")  # fmt: skip


class Model(Section):
    """Factors of the model that a logged night may narrow."""

    walls: Annotated[
        float,
        Factor(
            allowed=(0.3, 3.0),
            usual=(0.6, 1.6),
            spread=Spread.relative(
                0.2,
                "own choice: laws of convection at walls spread by about 20 %; no tent's loss was found measured",
            ),
            meaning="factor on the area of the skin that loses heat",
        ),
    ] = 1.0
    leak_area: Annotated[
        float,
        Quantity(
            kind="area", unit_si="cm2", unit_us="in2", allowed=("1 cm2", "2 m2"),
            usual=("20 cm2", "1000 cm2"), spread=Spread.factor(2.0),
            meaning="leakage area at 4 Pa of seams and door edges over the whole skin, vents and skirt apart",
        ),
    ] = text_default("150 cm2")  # fmt: skip
    leak_below_skirt: Annotated[
        float | None,
        Quantity(
            kind="area", unit_si="cm2", unit_us="in2", allowed=("0 m2", "2 m2"), usual=("0 cm2", "1000 cm2"),
            prior=Spread.factor(2.0),
            meaning="leakage area at 4 Pa along the floor's edge; without it, by shelter.skirt, and none without that",
        ),
    ] = None  # fmt: skip
    heat: Annotated[
        float,
        Factor(
            allowed=(0.3, 2.0),
            usual=(0.7, 1.3),
            spread=Spread.relative(
                0.1, "own choice: dry wood has 18 to 19 MJ/kg (common practice), its pieces differ more"
            ),
            meaning="factor on the heat released",
        ),
    ] = 1.0
    mixing: Annotated[
        float,
        Factor(
            allowed=(0.05, 20.0),
            usual=(0.3, 3.0),
            spread=Spread.factor(3.0, "own choice: no measured profile of a stove-heated shelter was found"),
            meaning="factor on the conductivity by which neighbouring layers of air mix",
        ),
    ] = 1.0
    char_rate: Annotated[
        float,
        Factor(
            allowed=(0.1, 10.0),
            usual=(0.3, 3.0),
            prior=Spread.factor(2.0, "own choice: coals lose 0.3 to 3 % a minute, common practice"),
            meaning="factor on the rate at which coals burn",
        ),
    ] = 1.0
    burn_rate: Annotated[
        float,
        Factor(
            allowed=(0.2, 5.0),
            usual=(0.5, 2.0),
            prior=Spread.factor(
                1.5,
                "the two laws of pieces of 25 to 75 mm differ by 1.1 to 1.9 (Babrauskas, SFPE Handbook; Albini and "
                "Reinhardt 1995; both second-hand)",
            ),
            meaning="factor on the rate at which wood burns, fire and air left as they are",
        ),
    ] = 1.0
    feedback: Annotated[
        float,
        Factor(
            allowed=(0.3, 1.0),
            usual=(0.5, 0.75),
            prior=Spread.relative(0.15),
            meaning="least share of its free rate at which wood burns in a cold firebox",
        ),
    ] = 0.6
    gas_side: Annotated[
        float,
        Factor(
            allowed=(0.3, 3.0),
            usual=(0.5, 2.0),
            prior=Spread.factor(
                1.3, "own choice: the law of the pipe leaves out soot and the gas's radiation"
            ),
            meaning="factor on the heat that fire and gas give to the metal",
        ),
    ] = 1.0
    inlet: Annotated[
        float,
        Factor(
            allowed=(0.2, 5.0),
            usual=(0.5, 2.0),
            prior=Spread.factor(
                1.3,
                "own choice; the discharge of sharp edges, .60 to .65 by the handbooks, is the lesser part of it",
            ),
            meaning="factor on the area by which air reaches the fire: the opening at every mark, and what leaks",
        ),
    ] = 1.0
    ground: Annotated[
        float,
        Factor(
            allowed=(0.2, 5.0),
            usual=(0.5, 2.0),
            prior=Spread.factor(
                1.5,
                "published laws of snow's conductivity differ by up to 2 to either side (Sturm et al. 1997, "
                "J. Glaciology 43(143), second-hand); soils 1.5 to 3.5 W/(m K) in ISO 13370, from memory",
            ),
            meaning="factor on the conductivity of the ground, and so on what floor and ground exchange",
        ),
    ] = 1.0
    layers: Annotated[
        int,
        Count(allowed=(3, 64), usual=(8, 32), meaning="number of layers of air from the floor to the peak"),
    ] = 20
