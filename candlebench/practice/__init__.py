"""The physics of a melt on a hob, for practice and for tests."""
