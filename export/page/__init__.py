"""The printed page: which sheet, where the piece lies on it, its marks and its words."""
