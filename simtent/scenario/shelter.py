"""[shelter]: one of several shapes."""

from simtent.scenario.shapes import Bell, Box, Dome, Hub, Pyramid, Tunnel, WallTent

Shelter = Box | WallTent | Bell | Pyramid | Hub | Dome | Tunnel
SHAPES: dict[str, type[Shelter]] = {
    "box": Box,
    "wall tent": WallTent,
    "bell": Bell,
    "pyramid": Pyramid,
    "hub": Hub,
    "dome": Dome,
    "tunnel": Tunnel,
}
