"""The sun on a shelter calculated a second time: its place by vectors, its strength by pvlib, a band by quadrature.

Nothing of `simtent.assembly` or `simtent.physics` is used. `InTheSun(night)` is `ByHand(night)` with the sun's watts.
"""

import math
from datetime import UTC, datetime, timedelta
from functools import cache

import numpy as np
import pandas as pd
import pvlib
from scipy.integrate import quad
from scipy.optimize import brentq

from tests.assembly.by_hand import ByHand, Flow


def since_noon(night, t):
    """Time since solar noon on the evening's date [s]; else noon is 12:00, what summer adds left out."""
    when, site = night.night, night.site
    clock = "12:00" if site.solar_noon is None else site.solar_noon
    noon = datetime.fromisoformat(f"{when.evening}T{clock}").replace(tzinfo=when.zone)
    summer = timedelta() if site.solar_noon is not None else noon.dst() or timedelta()
    begin = datetime.fromisoformat(f"{when.evening}T{when.begin}").replace(tzinfo=when.zone)
    return (begin.astimezone(UTC) - noon.astimezone(UTC) - summer).total_seconds() + t


@cache
def sky(day, latitude, since, cloud):
    """Sine of the sun's height, direct and diffuse sunshine [W/m2], `day` since solar noon of the date."""
    now = day + since / 86400.0
    tilt = float(pvlib.solarposition.declination_spencer71(now))
    turned = math.radians(15.0 * since / 3600.0)
    to_sun = np.array([math.cos(tilt) * math.cos(turned), -math.cos(tilt) * math.sin(turned), math.sin(tilt)])
    sine = float(to_sun @ [math.cos(latitude), 0.0, math.sin(latitude)])
    if sine <= 0.0:
        return sine, 0.0, 0.0
    zenith = math.degrees(math.acos(min(sine, 1.0)))
    clear = float(pvlib.clearsky.haurwitz(pd.Series([zenith]))["ghi"].iloc[0])
    whole = clear * (1.0 - 0.75 * cloud**3.4)  # Kasten and Czeplak 1980, from memory
    above = float(pvlib.irradiance.get_extra_radiation(now))
    # The clearness as if overhead: close to the horizon pvlib holds it down.
    overhead = whole / sine
    share = float(pvlib.irradiance.erbs(overhead, 0.0, now)["dhi"]) / overhead if whole > 0.0 else 1.0
    assert overhead < above
    return sine, (1.0 - share) * whole / sine, share * whole


@cache
def ring(up, sine):
    """Mean over all compass directions of the cosine between a lit face and the sun."""
    lean, low = math.sqrt(max(1.0 - up * up, 0.0)), math.sqrt(max(1.0 - sine * sine, 0.0))

    def towards(azimuth):
        face = np.array([lean * math.cos(azimuth), lean * math.sin(azimuth), up])
        return float(face @ [low, 0.0, sine])

    ends = towards(0.0), towards(math.pi)
    if max(ends) <= 0.0:
        return 0.0
    until = math.pi if min(ends) >= 0.0 else brentq(towards, 0.0, math.pi, xtol=1e-15)
    return quad(towards, 0.0, until, epsabs=1e-14, epsrel=1e-13)[0] / math.pi


def on_band(up, sun, albedo):
    """Sunshine on a band [W/m2]: a plane over open ground sees (1 + cos)/2 of sky."""
    sine, beam, diffuse = sun
    if sine <= 0.0:
        return 0.0
    return (
        beam * ring(up, sine)
        + diffuse * (1.0 + up) / 2.0
        + albedo * (beam * sine + diffuse) * (1.0 - up) / 2.0
    )


class InTheSun(ByHand):
    """A shelter by day."""

    def __init__(self, night):
        super().__init__(night)
        site = night.site
        self.albedo = 0.2 if site.ground is None else site.earth.albedo
        self.floor = {face.node: face.area for face in self.inner if face.path == "floor_to_air"}
        self.lit, before = [], -1
        for face in sorted(self.outer, key=lambda it: it.node):
            gaps = [gap.inner for gap in self.gaps if before < gap.inner < face.node]
            faces = [face.node, *sorted(gaps, reverse=True)]
            self.lit.append((face.area / night.model.walls, face.up, faces, self._layers(face.name)))
            before = face.node

    def _layers(self, name):
        """Layers from the outside in of "outer wall 3", "outer window 4" or "outer window 2, 4"."""
        _, part, *number = name.replace(",", "").split()
        if part == "window":
            return self.night.shelter.window[int(number[0]) - 1 if len(number) > 1 else 0].layers
        return self.night.shelter.skin.all or getattr(self.night.shelter.skin, part)

    def sun(self, t):
        """Sine of the sun's height, direct and diffuse sunshine."""
        cloud = self.night.outdoors.track("cloud").at(t)
        day = self.night.night.evening.timetuple().tm_yday
        return sky(day, self.night.site.latitude, since_noon(self.night, t), cloud)

    def flows(self, temps, t, hearth=None):
        yield from super().flows(temps, t, hearth)
        now = self.sun(t)
        for area, up, faces, layers in self.lit:
            left, place = area * on_band(up, now, self.albedo), 0
            for layer in layers:
                if layer.kind == "gap":
                    place += 1
                    continue
                yield Flow(None, faces[place], layer.absorptance * left, "sun")
                left *= layer.transmittance
            for node, part in self.floor.items():
                yield Flow(None, node, left * part / sum(self.floor.values()), "sun")
