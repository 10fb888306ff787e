"""Which offtakes first? Score, rank and the list by score."""
