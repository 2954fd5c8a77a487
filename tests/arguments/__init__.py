"""The command line's arguments."""
