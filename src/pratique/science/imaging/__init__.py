"""What a picture tells in numbers: the outline of a body, the scale of a microscope, the cells in view."""
