"""The demo household: a simulator with known truth, and the story it tells."""
