"""What is the demo catchment made of, and how is it made again from its seed?

One module for each thing a person would name: the terrain, the rivers, the climate, the
offtakes. `python scripts/demo_maker` writes everything into `demo_data`.
"""
