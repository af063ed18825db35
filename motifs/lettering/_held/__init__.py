"""How letters are held: their counters, the ways to bridge them, and widths that strokes keep."""
