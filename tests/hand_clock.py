"""A clock that stands still until a test moves it."""


class HandClock:
    """Set `now_s` to move it, `wall_offset_s` to set the system's clock another way."""

    def __init__(self) -> None:
        self.now_s = 0.0
        self.wall_offset_s = 1.7e9

    def elapsed_s(self) -> float:
        return self.now_s

    def wall_s(self, elapsed_s: float) -> float:
        return self.wall_offset_s + elapsed_s

    def slept_s(self) -> float:
        return 0.0
