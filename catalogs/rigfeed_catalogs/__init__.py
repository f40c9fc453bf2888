"""Catalogs and practices: data only, every row with its source."""
