"""Strategy for what a shelter stands on."""

from hypothesis import strategies as st

from simtent.scenario.fields import SECTIONS, declared_of
from simtent.scenario.materials import ground, ground_names
from simtent.scenario.site import Below
from simtent.units import to_si
from tests.drawn import some, texts_of

# Keys of a site that only make sense together with a ground.
OF_THE_GROUND = (
    "ground", "ground_start", "ground_below", "snow_density", "snow_depth", "under_snow", "ice_thickness",
)  # fmt: skip
OF_THE_SUN = ("latitude", "solar_noon")  # drawn where the sun is tested


@st.composite
def sites(draw):
    """Strategy for the table of the site: no snow or ice warmer than it can be, ice over water with its thickness."""
    model = SECTIONS["site"]
    row = ground(draw(st.sampled_from(ground_names())))
    coldest, warmest = (
        to_si(text, "temperature") for text in declared_of(model.model_fields["ground_start"]).usual
    )
    start = declared_of(model.model_fields["ground_start"])
    warmest = 273.1 if row.ice else warmest
    tree = {"ground": row.name, "ground_start": draw(texts_of(start, coldest, warmest))}
    if row.snow and draw(st.booleans()):
        tree["snow_density"] = draw(texts_of(declared_of(model.model_fields["snow_density"])))
    over_water = row.over_water
    if row.snow and draw(st.booleans()):
        under = ground(draw(st.sampled_from([name for name in ground_names() if not ground(name).snow])))
        tree |= {
            "under_snow": under.name,
            "snow_depth": draw(texts_of(declared_of(model.model_fields["snow_depth"]))),
        }
        over_water = under.over_water
    if over_water:
        tree["ice_thickness"] = draw(texts_of(declared_of(model.model_fields["ice_thickness"])))
    elif draw(st.booleans()):
        tree["ground_below"] = draw(_temperatures_below(coldest, warmest))
    return tree | draw(some(model, skip=(*OF_THE_GROUND, *OF_THE_SUN)))


@st.composite
def _temperatures_below(draw, coldest, warmest):
    """One to three known temperatures, from the surface down."""
    temperature = declared_of(Below.model_fields["temperature"])
    depths = sorted(draw(st.sets(st.integers(1, 150), min_size=1, max_size=3)))
    return [
        {
            "depth": draw(st.sampled_from([f"{depth} cm", f"{(depth + 0.3) / 2.54:.3f} in"])),
            "temperature": draw(texts_of(temperature, coldest, warmest)),
        }
        for depth in depths
    ]


@st.composite
def suns(draw):
    """Strategy for what makes the sun shine, as replacements."""
    model = SECTIONS["site"]
    sun = {"site.latitude": draw(texts_of(declared_of(model.model_fields["latitude"])))}
    if draw(st.booleans()):
        minute = draw(st.integers(0, 1439))
        sun["site.solar_noon"] = f"{minute // 60:02d}:{minute % 60:02d}"
    return sun
