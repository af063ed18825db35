"""One design made for many: the plates it asks for, by size and by row of its list."""
