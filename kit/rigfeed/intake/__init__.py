"""Supplier lists, as messy as they come, to catalogs: nothing is guessed in silence, nothing is replaced unasked."""
