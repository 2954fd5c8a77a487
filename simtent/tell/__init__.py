"""Telling: words, tables, pictures. Only this part draws or prints."""
