"""Measuring on pictures: what a photo or clip of a growth says in numbers, with how sure they are."""
