"""Lettering: words in any face as shapes that hold, raised or cut out, on a line or a curve."""
