"""Pictures of things, places and sky: what each is made of, its proportions at the head of its module."""
