"""At the saw: the panel of a run, for gloved fingers and two metres away."""
