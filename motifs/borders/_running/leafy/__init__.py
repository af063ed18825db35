"""What is leafy: stems that wave from rail to rail with leaves, grapes and scrolls in their bends."""
