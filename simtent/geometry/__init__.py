"""Outlines of shelters by closed formulas in height; in plain Python, for the reader of scenarios needs them too."""
