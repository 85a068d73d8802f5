"""What a picture tells in numbers: the outline of a body."""
