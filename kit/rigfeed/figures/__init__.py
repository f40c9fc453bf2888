"""Figures: curves with axes, made from an assessment as data; only drawing them needs the extra for pictures."""
