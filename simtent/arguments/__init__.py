"""What may be written after `simtent`; nothing is read or run here."""
