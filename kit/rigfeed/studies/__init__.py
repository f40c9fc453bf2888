"""Computations over the whole installation, each once per assessment."""
