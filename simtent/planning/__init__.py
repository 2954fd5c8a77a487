"""The stoking plan: when to get up, how much to put on, at which marks of the levers."""
