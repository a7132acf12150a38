"""One figure as it is printed: what was measured, the goal beside it, and whether it is met."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """`note` says how it was measured."""

    name: str
    measured: str
    goal: str
    met: bool
    note: str = ""

    def line(self) -> str:
        """The line that is printed."""
        mark = "met" if self.met else "NOT MET"
        note = f" ({self.note})" if self.note else ""
        return f"{self.name}: {self.measured}; goal {self.goal}: {mark}{note}"
