"""What lets devices in: the sign-in page, certificates, and the server itself."""
