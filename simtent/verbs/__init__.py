"""Verbs of the command line, one module each: what a question needs, in the order in which it is answered."""
