"""The views, a module by subject: read what was sent, call the kit, answer."""
