"""Where readings come from: parsers without I/O and the sources that feed them."""
