"""The pattern book: every motif of the catalogue on a page of its own."""
