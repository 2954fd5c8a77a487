"""Numbers of a shelter and its stove found from logged nights, and how far they can be trusted."""
