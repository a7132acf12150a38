"""When will the melt cross a temperature, and how sure is that: `forecaster` is the way in."""
