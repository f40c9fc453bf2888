"""The window: the kit's engine, catalogs and papers in Tk, with no rule and no formula of its own."""
