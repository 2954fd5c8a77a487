"""Generated networks: nodes joined in a chain and by chance, one boundary or two, sources and jumps."""

from hypothesis import strategies as st

from simtent.network import Builder, tables
from tests.network.curves import curves

CAPACITY = st.floats(3.0, 6.0).map(lambda e: 10.0**e)
CONDUCTANCE = st.floats(-0.5, 2.0).map(lambda e: 10.0**e)
TEMPERATURE = st.floats(240.0, 320.0)


@st.composite
def linear_networks(draw, sources: bool = True, hours: float = 4.0, curved: bool = False):
    """Return a Builder with a boundary at constant temperature; the node order is drawn too.

    `curved` ones have nodes whose capacity changes with temperature, and are linear no more.
    """
    net = Builder(end=hours * 3600.0)
    size = draw(st.integers(1, 8))
    outside = net.boundary(tables.constant(draw(TEMPERATURE)))
    loss = net.path("loss", crossing=True)
    gain = net.path("gain", crossing=True)
    for _ in range(size):
        curve = draw(st.none() | curves()) if curved else None
        net.node(
            draw(CAPACITY), start=draw(TEMPERATURE), group=draw(st.sampled_from(["one", "two"])), curve=curve
        )
    net.link(outside, draw(st.integers(0, size - 1)), draw(CONDUCTANCE), loss)
    for k in range(size - 1):
        net.link(k, k + 1, draw(CONDUCTANCE))
    for _ in range(draw(st.integers(0, 6))):
        i, j = draw(st.integers(0, size - 1)), draw(st.integers(0, size - 1))
        if i != j:
            net.link(i, j, draw(CONDUCTANCE))
    if sources:
        begin = float(draw(st.integers(60, 7000)))
        power = draw(st.floats(0.0, 3000.0))
        table = net.table(tables.steps([begin, begin + float(draw(st.integers(60, 5000)))], [power, 0.0]))
        net.source(draw(st.integers(0, size - 1)), table, 1.0, gain)
        net.pulse(
            float(draw(st.integers(0, 3600))),
            draw(st.integers(0, size - 1)),
            draw(st.floats(-1e5, 1e5)),
            gain,
        )
    return net
