"""Questions that take many nights: a study solves them, keeps them in a folder and joins them again."""
