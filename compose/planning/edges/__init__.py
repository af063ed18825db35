"""How each edge is cut: spans, the tool for each, strokes and the way they are drawn."""
