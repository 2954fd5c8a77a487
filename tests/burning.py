"""Strategies for stove, wood and stoking that go together."""

from hypothesis import strategies as st

from simtent.scenario.fields import SECTIONS, declared_of
from simtent.scenario.materials import species_names, stove, stove_names
from simtent.scenario.stoking import Rule, When
from simtent.scenario.stove import Air, Firebox, Pipe, Place, Stove
from simtent.scenario.wood import Piece, Wood
from simtent.units import to_si
from tests.drawn import clock, of_field, some, texts_of

MARKS = ["shut", "1", "half open", "wide"]
PIECES = ["kindling", "2", "my split"]
FULLEST = 0.55
SIDES = ("length", "width", "height")
OWN_TABLES = ("like", "firebox", "sheet", "glass", "on_top", "place", "pipe", "air", "damper")


@st.composite
def burning(draw, night, minutes, edge=0.0, levels=(), *, draft=True):
    """Strategy for the tables of a fire; `edge` [m]: where the roof begins, `levels`: those a rule may watch."""
    tree, marks = draw(_stoves(edge, draft))
    box = {side: to_si(text, "length") for side, text in _firebox(tree).items()}
    wood = draw(_woods(box))
    loads = _loads(Wood.model_validate(wood), box["length"] * box["width"] * box["height"])
    return {"stove": tree, "wood": wood, "stoking": draw(_stokings(night, minutes, marks, loads, levels))}


@st.composite
def _stoves(draw, edge, draft):
    """A stove, and for each of its levers the marks that may be used."""
    like = draw(st.sampled_from([None, *stove_names()]))
    tree = draw(some(Stove, skip=OWN_TABLES))
    if draw(st.booleans()):
        tree["place"] = draw(some(Place))
    if like:
        tree["like"] = like
    if not like or draw(st.booleans()):
        tree |= {"firebox": draw(some(Firebox)), "sheet": draw(sheets())}
    box = sorted(to_si(text, "length") for text in _firebox(tree).values())
    if draw(st.booleans()):
        tree["glass"] = draw(texts_of(declared_of(Stove.model_fields["glass"]), 0.0, box[1] * box[2]))
    if draw(st.booleans()):
        tree["on_top"] = draw(
            st.sampled_from(["1 gal water", "1.5 L water", "2 kg water", "5 kg stones", "9 lb stones"])
        )
    collar = to_si(tree.get("legs", "15 cm"), "length") + to_si(_firebox(tree)["height"], "length")
    tree["pipe"] = draw(_pipes(max(edge - collar, 0.3), like, draft))
    tree["air"], air = draw(
        _levers(Air, needed=not like, table=stove(like or stove_names()[0])["air"]["marks"])
    )
    damper = None
    if draw(st.booleans()):
        tree["damper"], damper = draw(_levers(None, needed=True))
    return tree, {"air": air} | ({"damper": damper} if damper else {})


def _firebox(tree):
    """Sizes of the firebox as text, the archetype's where none are given."""
    return tree.get("firebox") or stove(tree["like"])["firebox"]


def sheets():
    """Strategy for sheet metal as text."""
    return st.builds(
        lambda tenths, metal: f"{tenths / 10} mm {metal}",
        st.integers(3, 40),
        st.sampled_from(["steel", "titanium"]),
    )


@st.composite
def _pipes(draw, reach, like, draft):
    skip = ("diameter", "inside", "sheet", "bends") + (() if draft else ("draft",))
    tree = draw(some(Pipe, skip=skip))
    tree["inside"] = draw(texts_of(declared_of(Pipe.model_fields["inside"]), reach, reach + 1.5))
    if not like or draw(st.booleans()):
        tree["diameter"] = draw(of_field(Pipe.model_fields["diameter"]))
    if draw(st.booleans()):
        tree["sheet"] = draw(sheets())
    if draw(st.booleans()):
        tree["bends"] = draw(st.lists(st.integers(0, 90).map(lambda angle: f"{angle} deg"), max_size=3))
    return tree


@st.composite
def _levers(draw, model, needed, table=None):
    """A lever's table, and those of its marks that are at or above the least for sleepers."""
    tree = draw(some(model, skip=("opening", "marks", "least_when_asleep"))) if model else {}
    if model and (needed or draw(st.booleans())):
        tree["opening"] = draw(of_field(model.model_fields["opening"]))
    if needed or draw(st.booleans()):
        names = draw(st.lists(st.sampled_from(MARKS), min_size=1, max_size=4, unique=True))
        tree["marks"] = {name: f"{draw(st.integers(0, 100))} %" for name in names}
    marks = tree.get("marks") or table
    least = draw(st.sampled_from([None, *marks]))
    if least:
        tree["least_when_asleep"] = least
    floor = to_si(marks[least], "share") if least else 0.0
    return tree, [name for name, share in marks.items() if to_si(share, "share") >= floor]


@st.composite
def _woods(draw, box):
    sides = sorted(box.values())
    thick, long, mass = (declared_of(Piece.model_fields[name]) for name in ("thick", "long", "mass"))
    pieces = {}
    for name in draw(st.lists(st.sampled_from(PIECES), min_size=1, max_size=3, unique=True)):
        pieces[name] = {
            "thick": draw(texts_of(thick, 0.01, 0.8 * sides[0])),
            "long": draw(texts_of(long, 0.5 * sides[2], 0.95 * sides[2])),
        }
        if draw(st.booleans()):
            pieces[name]["mass"] = draw(texts_of(mass))
    moisture = f"{draw(st.integers(80, 350)) / 10} % {draw(st.sampled_from(['wet', 'dry']))}"
    wood = {"species": draw(st.sampled_from(species_names())), "moisture": moisture, "pieces": pieces}
    return wood | draw(some(Wood, skip=(*wood,)))


def _loads(wood, volume):
    """Strategy for what may be put on at a time: counts and masses that leave room in the firebox [m3]."""
    most = FULLEST * volume * wood.species.density / (1.0 - wood.moisture)

    @st.composite
    def loads(draw):
        names = draw(st.lists(st.sampled_from(list(wood.pieces)), min_size=1, unique=True))
        load = {}
        for name in names:
            room = most / len(names)
            count = int(room / wood.piece_mass(name))
            if count and draw(st.booleans()):
                load[name] = draw(st.integers(1, min(count, 200)))
            else:
                load[name] = f"{draw(st.integers(10, max(10, int(1000.0 * room))))} g"
        return load

    return loads()


@st.composite
def _again(draw, night, minute, minutes):
    """How a load that is the last thing done is put on again and again, from a minute of the night on."""
    every = draw(st.integers(2, minutes - minute))
    last = draw(st.integers(minute, min(minutes, minute + 3 * every)))
    return {"every": f"{every} min", "until": clock(night, last)}


@st.composite
def _stokings(draw, night, minutes, marks, loads, levels):
    tree = draw(some(SECTIONS["stoking"], skip=("air", "damper", "load", "set", "rule")))
    tree |= {lever: draw(st.sampled_from(names)) for lever, names in marks.items()}
    moments = sorted(draw(st.sets(st.integers(0, minutes - 1), min_size=1, max_size=7)))
    by_the_clock = draw(
        st.lists(st.sampled_from(["load", "set"]), min_size=len(moments), max_size=len(moments))
    )
    tree["load"] = [{"at": clock(night, moments[0]), "pieces": draw(loads), **draw(_turns(marks))}]
    for minute, kind in zip(moments[1:], by_the_clock[1:], strict=True):
        entry = {"at": clock(night, minute)}
        if kind == "load":
            entry |= {"pieces": draw(loads), **draw(_turns(marks))}
            if how := draw(st.sampled_from(["", "lit", "catches"])):
                entry[how] = draw(st.booleans())
            if minute == moments[-1] and minutes - minute > 2 and draw(st.booleans()):
                entry |= draw(_again(night, minute, minutes))
        else:
            entry |= draw(_turns(marks, least=1))
        tree.setdefault(kind, []).append(entry)
    if levels and draw(st.booleans()):
        rules = _rules(night, moments[0], minutes, marks, loads, levels)
        tree["rule"] = draw(st.lists(rules, min_size=1, max_size=2))
    return tree


@st.composite
def _rules(draw, night, first, minutes, marks, loads, levels):
    begin = draw(st.integers(first, minutes - 1))
    when = {"level": draw(st.sampled_from(levels)), "below": draw(of_field(When.model_fields["below"]))}
    if draw(st.booleans()):
        when["coals"] = "light the next load"
    return {
        "from": clock(night, begin),
        "to": clock(night, draw(st.integers(begin + 1, minutes))),
        "when": when,
        "load": draw(loads),
        **draw(_turns(marks)),
        **draw(some(Rule, skip=("from_", "to", "when", "load", "air", "damper"))),
    }


@st.composite
def _turns(draw, marks, least=0):
    """Levers turned, each to one mark or to several in turn."""
    levers = draw(st.lists(st.sampled_from(sorted(marks)), min_size=least, unique=True))
    return {lever: draw(_steps(marks[lever])) for lever in levers}


@st.composite
def _steps(draw, names):
    marks = draw(st.lists(st.sampled_from(names), min_size=1, max_size=3))
    if len(marks) == 1 and draw(st.booleans()):
        return marks[0]
    held = [{"for": f"{draw(st.integers(1, 90))} min", "mark": mark} for mark in marks[:-1]]
    return [*held, {"mark": marks[-1]}]
