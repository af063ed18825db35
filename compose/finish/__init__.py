"""The finished piece as geometry and figures: mount, patches, layers, pads, and what it takes to make."""
