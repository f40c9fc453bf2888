"""The core's own rules, by subject, and what a rule is."""
