"""The mains side of a van, source by source and pitch by pitch: what opens, what may run."""
