"""Forms: plants, creatures, sky, places and things, each drawn to fill a box."""
