"""Field visits: which sites, why, in what order, and what was found there would do."""
