"""The model of a shelter and its stove fitted to logged nights: most likely numbers, and how far they are known."""
