"""A meeting: one shared case before a hall, as everyone there may see it."""
