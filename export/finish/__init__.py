"""The finished piece: pages for patches, layers, pads and the framer, and pictures of it."""
