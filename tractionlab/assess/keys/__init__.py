"""Keys of the items, computed."""
