"""The steps, in the order of their revisions; one that was released never changes."""
