"""[[shelter.window]]: panes in the skin, of other layers than the part they lie in."""

from typing import Annotated, Literal

from pydantic import Field

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.layers import Layer, Skin
from simtent.scenario.quantity import Quantity, Words
from simtent.scenario.section import Section


def _height(meaning: str, usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=("0 m", "8 m"), usual=usual, meaning=meaning
    )  # fmt: skip


class Window(Section):
    """A window, or several alike: area that is taken out of a part of the skin between two heights."""

    part: Annotated[Literal["wall", "roof"], Words(meaning="the part of the skin it lies in")] = "wall"
    area: Annotated[
        float,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("1 cm2", "100 m2"), usual=("0.05 m2", "3 m2"),
            meaning="area of the pane; of all together, where several are alike",
        ),
    ]  # fmt: skip
    from_: Annotated[
        float,
        Field(alias="from"),
        _height("height above the ground at which it begins", ("30 cm", "1.5 m")),
    ]
    to: Annotated[float, _height("height above the ground at which it ends", ("60 cm", "2 m"))]
    layers: Annotated[
        tuple[Layer, ...], Skin(meaning='layers from the outside in, for example ["clear vinyl film"]')
    ]

    def check_together(self, _span: Span | None) -> None:
        """It has a height."""
        if self.from_ >= self.to:
            todo = "Give the heights above the ground between which the window lies"
            raise InputError(Fault("the window's upper edge is not above its lower one", key="to", todo=todo))
