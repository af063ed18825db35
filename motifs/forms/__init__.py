"""Natural forms: leaf, blossom, tree and their kin, each grown in a box."""
