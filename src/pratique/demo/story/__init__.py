"""What the keeper of Harbour Row did and wrote, part by part."""
