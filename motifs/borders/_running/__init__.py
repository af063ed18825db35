"""What borders that run on round the piece are made of: strokes drawn flat, and laid along the band."""
