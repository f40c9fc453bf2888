"""The electrical graph as numbers: elements, one topology, many samples, one exact solve."""
