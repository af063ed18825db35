"""What grows from a seed, leaf by leaf as there is room: the plant itself, stems, the wreath, the tree."""
