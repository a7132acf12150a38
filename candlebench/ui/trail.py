"""Which pages she came through, so that Esc leads back the way she came."""

# Where every way back ends: the melt, or the first question while there is none.
HOME = "melt"


class Trail:
    """The pages behind the present one, the latest last; none stands in it twice."""

    def __init__(self) -> None:
        self._behind: list[str] = []

    def went(self, left: str, to: str) -> None:
        """Note that she went from a page to another."""
        if to == HOME:
            self._behind.clear()
        elif to in self._behind:
            del self._behind[self._behind.index(to) :]
        elif left not in (to, *self._behind):
            self._behind.append(left)

    @property
    def back(self) -> str:
        """The page that Esc leads to."""
        return self._behind[-1] if self._behind else HOME
