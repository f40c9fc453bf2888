"""Variants of a design, each assessed, and the answer that follows from all of them."""
