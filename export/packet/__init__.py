"""The sheet that a packet is folded and cut from, with its creases, steps and marks."""
