"""What borders laid by the repeat are made of: the openings of one bay, one post and one corner."""
