"""candlebench watches a melt of candle wax and says when to add the oil and when to pour."""

__version__ = "0.1.0"
