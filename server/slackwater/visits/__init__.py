"""Where to go and in what order, so that few days show most."""
