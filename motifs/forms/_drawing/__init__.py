"""How a figure is drawn: a pen in units of its own frame, smooth curves, and carving, so that it holds."""
