"""What happened in a melt and how well it went, judged from its recorded events alone."""
