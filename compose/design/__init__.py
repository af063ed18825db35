"""The design file: loading it, its tables, and how each of their values is read."""
