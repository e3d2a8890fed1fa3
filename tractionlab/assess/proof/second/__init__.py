"""The second routes."""
