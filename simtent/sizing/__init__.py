"""Is the stove big enough: a class of stoves by firebox volume, the heat a shelter needs, what a load holds."""
