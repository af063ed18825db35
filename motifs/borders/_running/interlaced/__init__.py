"""What interlaces: strands that cross over and under, and the rope they are twisted into."""
