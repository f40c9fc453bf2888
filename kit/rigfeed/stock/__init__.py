"""What lies in the workshop: spools, offcuts, counted parts; which piece each cut comes from, what is left to buy."""
