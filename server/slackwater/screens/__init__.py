"""What screen does an intake need, what does it cost, and what does the landholder gain?

For comparison and budgeting only: a built screen is designed by a qualified engineer to the
criteria and permits that apply at the place.
"""
