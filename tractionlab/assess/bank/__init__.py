"""Items, draws and papers."""
