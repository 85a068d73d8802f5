"""The page on which a body is measured on a picture."""
