"""In what order openings are cut: support against travel."""
