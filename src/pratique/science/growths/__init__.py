"""Nuisance growths: what a return means, and when the water may be touched."""
