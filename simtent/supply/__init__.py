"""Wood for a trip: what its nights burn, what that weighs, and how it is carried."""
