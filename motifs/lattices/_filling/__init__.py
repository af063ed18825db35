"""How lattices are filled: cells over a region, alike or grown, clipped or trimmed at its edge."""
