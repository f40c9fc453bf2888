"""rigfeed: design, check and cut lists for two-way radio installations in vehicles."""
