"""A package of somebody else's with motifs of its own."""
