"""The model: from a scenario's nouns to a network by the laws of physics.

>>> from simtent.assembly.assemble import assemble
>>> from simtent.scenario.load import load
>>> model = assemble(load("scenarios/larch_bench.toml"))
>>> model.bands.centres.size, sorted(set(model.net.groups))
(16, ['air', 'contents', 'ground', 'skin'])

`assembly.rhs` is the only place where the engine's kernels and the laws meet.
"""
