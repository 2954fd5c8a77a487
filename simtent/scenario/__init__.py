"""A scenario: the night, the place, the weather, the shelter, the heat or fire and the people, as files say it.

Every source becomes a raw tree, trees merge, one `build` validates and freezes:

>>> from simtent.scenario.load import load
>>> scenario = load("scenarios/larch_bench.toml", settings=["model.walls=1.2"])
>>> scenario.model.walls, scenario.replace("model.walls", 0.9).model.walls
(1.2, 0.9)
"""
