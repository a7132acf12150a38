"""What is kept: the journal of every melt, settings, exports."""
