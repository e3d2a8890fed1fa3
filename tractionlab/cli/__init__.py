"""The commands: read arguments, call, print."""
