"""Drawings: what a person looks at. A `Scene` is made from an assessment; writers turn it into a file or a window."""
