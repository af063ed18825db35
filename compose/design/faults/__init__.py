"""What is wrong with a design: said in our words, each fault with its place."""
