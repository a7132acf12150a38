"""Which of the values that a thermometer sends is the temperature of the melt."""

from candlebench.thermometers.label_words import channel_key, is_secondary
from candlebench.thermometers.parsed_line import Value

# A name seen once may be a damaged line; one that comes again is a probe.
_SEEN_AS_A_PROBE = 2
# With another name about, one line more: by then the other one has come twice too, if it is a probe.
_SEEN_BESIDE_ANOTHER = 3
# So many lines in another unit, without one in the first, and somebody has pressed the unit key.
_LINES_TO_CHANGE_UNIT = 3
_MOST_CHANNELS = 32


class ChannelChoice:
    """Passes on the values of one channel, or of none while it is not decided which.

    One channel is the melt. Of several, rooms, boards and the like are left aside; of more than one left, the
    person has to choose. A named channel has to come twice before its values pass, as its neighbour may be
    on the next line.

    Parameters
    ----------
    chosen : str or None
        The channel's name as the person chose it.
    taken : str or None
        Name of a channel that is another probe's, so that it is not the melt's.
    """

    def __init__(self, chosen: str | None = None, taken: str | None = None) -> None:
        self._chosen = channel_key(chosen) if chosen else None
        self._taken = channel_key(taken) if taken else None
        self._names: dict[str, str] = {}
        self._times: dict[str, int] = {}
        self._candidates: dict[str, str] = {}
        self._unit: dict[str, str] = {}
        self._other_unit_lines = 0

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of what was seen, in the order of their coming; '' for values without a name."""
        return tuple({**self._names, **self._candidates}.values())

    @property
    def undecided(self) -> bool:
        """Whether values come and none can be passed on until the person has chosen."""
        if self._chosen is not None:
            return bool(self._names) and self._chosen not in self._names
        probes = [key for key in self._names if self._is_probe(key)]
        return len(probes) > 1 or (not probes and any(n > 3 for n in self._times.values()))

    def offer(self, channels: tuple[str, ...]) -> None:
        """Remember names that a line held and the parser could not take for a temperature by itself."""
        for name in channels:
            if len(self._candidates) < _MOST_CHANNELS:
                self._candidates.setdefault(channel_key(name), name)

    def pick(self, value: Value) -> Value | None:
        """Return the value when it is the melt's; None when it is another's or undecided."""
        key = channel_key(value.channel)
        if key not in self._names and len(self._names) >= _MOST_CHANNELS:
            return None
        self._names.setdefault(key, value.channel)
        self._times[key] = self._times.get(key, 0) + 1
        if self._chosen is not None:
            return self._in_one_unit(key, value) if key == self._chosen else None
        if self._is_elsewhere(key) or self.undecided:
            return None
        if key and self._times[key] < (_SEEN_BESIDE_ANOTHER if self._has_others(key) else _SEEN_AS_A_PROBE):
            return None
        return self._in_one_unit(key, value)

    def _has_others(self, key: str) -> bool:
        return any(other != key and not self._is_elsewhere(other) for other in self._names)

    def _is_elsewhere(self, key: str) -> bool:
        """Whether a channel is not the melt's by its name, or because it is taken."""
        return key == self._taken or is_secondary(self._names[key])

    def _is_probe(self, key: str) -> bool:
        often = self._times[key] >= _SEEN_AS_A_PROBE or not key
        return often and not self._is_elsewhere(key)

    def _in_one_unit(self, key: str, value: Value) -> Value | None:
        """The value in the channel's first unit; lines in another repeat it, unless only they come."""
        first = self._unit.setdefault(key, value.unit)
        if value.unit == first:
            self._other_unit_lines = 0
            return value
        self._other_unit_lines += 1
        if self._other_unit_lines < _LINES_TO_CHANGE_UNIT:
            return None
        self._unit[key] = value.unit
        return value
