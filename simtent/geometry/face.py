"""What a shelter's outline is made of: faces and their parts, each a small set of functions of height."""

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

OfHeight = Callable[[float], float]

FACETS_OF_A_CURVE = 12  # a curved wall sees itself: as facets, none of which sees its own strip
JUST_BELOW = 1e-6  # m, of height, over which the slope at a height is measured
STEEP = sqrt(0.5) * (1.0 + 1e-9)  # cosine of 45 deg, which itself is still steep whatever the last digit says


@dataclass(frozen=True)
class Face:
    """A set of equal surfaces, flat or curved, that stand or lean alike at every height.

    part       "wall" or "roof"
    planes     into how many flat planes they count for what surfaces see of each other [-]
    area_to    area of all of them below a height [m2], given that height [m]
    plan_to    area of the shadow of what lies below a height on the ground [m2]; negative where it overhangs
    """

    part: str
    planes: int
    area_to: OfHeight
    plan_to: OfHeight


@dataclass(frozen=True)
class Shape:
    """A shelter's outline.

    peak         height of the highest point [m]
    floor_area   [m2]
    perimeter    of the floor [m]
    volume_to    volume below a height [m3]
    section_at   horizontal section at a height [m2]
    faces        walls and roofs
    """

    peak: float
    floor_area: float
    perimeter: float
    volume_to: OfHeight
    section_at: OfHeight
    faces: tuple[Face, ...]

    def has(self, part: str) -> bool:
        """Whether any skin is of a part."""
        return self.area(part, 0.0, self.peak) > 0.0

    def area(self, part: str, low: float, high: float) -> float:
        """Area of a part between two heights [m2]; what lies flat at a height lies below it."""
        return sum(face.area_to(high) - face.area_to(low) for face in self.faces if face.part == part)

    def steepest_at(self, height: float, parts: tuple[str, ...]) -> float:
        """Least cosine between outward normal and straight up just below a height [m]; 1 where no part is there."""
        low, high = (height - JUST_BELOW, height) if height >= JUST_BELOW else (0.0, JUST_BELOW)
        cosines = []
        for face in self.faces:
            area = face.area_to(high) - face.area_to(low)
            if face.part in parts and area > 0.0:
                cosines.append((face.plan_to(high) - face.plan_to(low)) / area)
        return min(cosines, default=1.0)


def no_shadow(_height: float) -> float:
    """The shadow of what stands upright [m2]."""
    return 0.0


def share_below(low: float, high: float) -> OfHeight:
    """Share of a span of heights [m] that lies below a height."""
    return lambda z: min(max((z - low) / (high - low), 0.0), 1.0)
