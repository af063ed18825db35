"""Words on a plate: set in a panel, along a line or a curve, and the room their panel takes for them."""
