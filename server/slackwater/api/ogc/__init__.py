"""The door for a desktop GIS: OGC API - Features, Part 1 (OGC 17-069r4), to be read alone."""
