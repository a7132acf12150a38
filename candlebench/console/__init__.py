"""The commands without a window. Their JSON is a contract: scripts depend on its keys."""
