"""The pages on which a growth is measured: cover on a photo, points, cells, and movement on a clip."""
