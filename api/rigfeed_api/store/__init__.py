"""Designs and tokens that outlive a request: SQLAlchemy on one SQLite file. Knows nothing of HTTP."""
