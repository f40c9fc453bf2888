"""A plugin that does wrong in every way that came to mind, one module for each."""
