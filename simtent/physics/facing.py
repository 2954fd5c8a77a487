"""View factors from a small piece of cloth, wood or skin to a stove's flat side and to its pipe."""

from math import atan, pi, sqrt


def corner_factor(width: float, height: float, distance: float) -> float:
    """View factor from an element to a rectangle parallel to it, one corner of which lies straight before it.

    Parameters
    ----------
    width : float
        Of the rectangle, 0 or more [m].
    height : float
        Of the rectangle, 0 or more [m].
    distance : float
        From the element to the rectangle's plane, above 0 [m].

    Returns
    -------
    float
        View factor, 0 to 1/4 [-].

    Source
    ------
    Closed form of textbooks, from memory; held to an integration in the tests.
    """
    x, y = width / distance, height / distance
    across, up = sqrt(1.0 + x * x), sqrt(1.0 + y * y)
    return (x / across * atan(y / across) + y / up * atan(x / up)) / (2.0 * pi)


def beside_factor(width: float, height: float, distance: float) -> float:
    """View factor from an element to a rectangle at right angles to it, with an edge in the element's own plane.

    The rectangle's plane is `distance` away from the element; one corner lies on the element's plane, straight beside
    the element. Half of what a floor sees of a stove's side, for instance.

    Parameters
    ----------
    width : float
        Of the rectangle along the element's plane, 0 or more [m].
    height : float
        Of the rectangle away from the element's plane, 0 or more [m].
    distance : float
        From the element to the rectangle's plane, above 0 [m].

    Returns
    -------
    float
        View factor, 0 to 1/4 [-].

    Source
    ------
    Closed form of textbooks, from memory; held to an integration in the tests.
    """
    x, y = width / distance, height / distance
    rise = sqrt(1.0 + y * y)
    return (atan(x) - atan(x / rise) / rise) / (2.0 * pi)


def face_factor(
    width: float, height: float, distance: float, aside: float = 0.0, above: float = 0.0
) -> float:
    """View factor from an element to a rectangle parallel to it.

    Parameters
    ----------
    width : float
        Of the rectangle, 0 or more [m].
    height : float
        Of the rectangle, 0 or more [m].
    distance : float
        From the element to the rectangle's plane, above 0 [m].
    aside : float
        How far the element is from straight before the rectangle's middle, along its width [m].
    above : float
        The same along its height [m].

    Returns
    -------
    float
        View factor, 0 to 1 [-].

    Source
    ------
    Closed form: sums and differences of `corner_factor`.
    """
    total = 0.0
    for x in (0.5 * width - aside, 0.5 * width + aside):
        for y in (0.5 * height - above, 0.5 * height + above):
            part = corner_factor(abs(x), abs(y), distance)
            total += part if x * y >= 0.0 else -part
    return max(total, 0.0)


def pipe_factor(radius: float, distance: float, below: float, above: float) -> float:
    """View factor from an element to an upright pipe that it faces.

    Parameters
    ----------
    radius : float
        Of the pipe [m].
    distance : float
        From the element to the pipe's axis, above the radius [m].
    below : float
        How far the pipe reaches below the element's height; negative where it ends above it [m].
    above : float
        How far it reaches above the element's height; negative where it ends below it [m].

    Returns
    -------
    float
        View factor, up to radius / distance for a long pipe [-].

    Source
    ------
    Closed form of textbooks for an element level with a pipe's end, from memory; held to an integration in the tests.
    """
    up, down = (_from_its_end(radius, distance, abs(reach)) for reach in (above, below))
    return max((up if above >= 0.0 else -up) + (down if below >= 0.0 else -down), 0.0)


def _from_its_end(radius: float, distance: float, length: float) -> float:
    """View factor from an element level with the end of a pipe of some length."""
    if length == 0.0:
        return 0.0
    d, reach = distance / radius, length / radius
    far, near = (d + 1.0) ** 2 + reach**2, (d - 1.0) ** 2 + reach**2
    edge = sqrt((d - 1.0) / (d + 1.0))
    inner = (far - 2.0 * d) / sqrt(far * near) * atan(sqrt(far / near) * edge)
    return (atan(reach / sqrt(d * d - 1.0)) + reach * (inner - atan(edge))) / (pi * d)
