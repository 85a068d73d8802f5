"""What should worry the keeper today, by what it is about."""
