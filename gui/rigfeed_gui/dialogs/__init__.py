"""Windows that ask one thing or show one thing, and go."""
