"""Figures drawn in black and pierced in white: what each is made of, and how it is carved so that it holds."""
