"""Setting the household up, and what is kept about it."""
