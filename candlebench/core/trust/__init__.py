"""How far one probe can be trusted: check points, correction, tolerance classes, and its lag by a plunge."""
