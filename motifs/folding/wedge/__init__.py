"""What is drawn in a wedge: lanes, the ornaments nested in them, words, and openings fitted in."""
