"""Performance targets, each measured beside its peer in one run and printed as a ratio. Run with `make bench`."""
