"""What one melt teaches for the next: a lot's curve, a jug's loss, a probe's lag; how melts are pooled."""
