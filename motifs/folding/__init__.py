"""Folded cuts: sheets, the ways they fold, what is cut in a packet, and what opens."""
