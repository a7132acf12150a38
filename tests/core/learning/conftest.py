"""Lets these tests use the simulated melts and the kitchen that lie beside them."""

import sys
from pathlib import Path

CORE = Path(__file__).resolve().parents[1]
sys.path[:0] = [folder for folder in (str(CORE / "forecast"), str(CORE)) if folder not in sys.path]
