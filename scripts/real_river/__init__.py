"""A real river to try the product on: networks and a flow record found inside two packages.

Nothing of it is kept here; the packages are read where they are installed. What they do not hold
(fish, offtakes, screens, prices, water temperature) is synthetic and says so in its `source`.
"""
