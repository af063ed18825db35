"""Values of a design: how each is read, and how it is written in a schema."""
