"""Variants of a scenario held against it: the same night, the same draws of what nobody knows."""
