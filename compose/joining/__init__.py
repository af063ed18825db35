"""Joining loose parts with bridges, so that nothing falls out of the sheet."""
