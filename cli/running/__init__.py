"""How commands run: the last door, where nothing is left unsaid, and drawing anew at every save."""
