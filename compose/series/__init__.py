"""One design made for many: the list, safe names, and a plate for every row and size."""
