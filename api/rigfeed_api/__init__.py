"""The HTTP interface: the kit's engine, catalogs and papers over Flask, with no rule and no formula of its own."""
