"""The pages: made on the server, for one thumb, readable without any script."""
