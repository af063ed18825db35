"""The cutting plan: in what order, with which tool, from which side, and how long it takes."""
