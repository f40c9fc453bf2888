"""What can be bought: the interfaces of parts, and the shelf of catalogs."""
