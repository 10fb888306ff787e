"""A meeting's state: who is there as a number, what they weigh, what the wall shows. No web."""
