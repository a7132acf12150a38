"""How far a probe must drift before its lot of wax tells it, and that a sound one is not blamed.

Lots are those of tests/core/forecast/simulated.py, four melts each: three teach, the fourth is read by a
probe that is off. Seed 901 was used for the rule, the others were not. `scripts/figures_probes` prints it.
"""

import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / "core" / part) for part in ("", "forecast", "learning"))]

from _figure_learning import OfOneLot  # noqa: E402
from melts_of_lots import cooled, heated  # noqa: E402
from simulated import cooling_melts, heating_melts  # noqa: E402

from candlebench.core.events import Event, Reading  # noqa: E402
from candlebench.core.learning.drift import drift_of  # noqa: E402
from candlebench.core.learning.lesson import lesson_of  # noqa: E402
from candlebench.core.learning.pooling import known_wax  # noqa: E402

MELTS = 4
OFF_K = (0.0, 1.5, -1.5, 2.0, -2.0, 3.0, -3.0)
KINDS = (("seen while it set", cooling_melts, cooled, 60.0), ("while it melted", heating_melts, heated, 76.0))


def _off(events: Sequence[Event], by_k: float) -> list[Event]:
    return [replace(e, temp_c=e.temp_c + by_k) if isinstance(e, Reading) else e for e in events]


def print_drift(seeds: Sequence[int], lots: int) -> bool:
    """Print the share of lots in which it is told; whether no sound probe was blamed."""
    print(f"\nDrift told by the fourth melt of a lot | lots | {' | '.join(f'{k:+g} K' for k in OFF_K)}")
    blamed = 0
    for name, make, told, to_c in KINDS:
        counts, of = [0] * len(OFF_K), 0
        for seed in seeds:
            melts = make(OfOneLot(seed, MELTS), MELTS * lots)  # type: ignore[arg-type]
            for first in range(0, len(melts), MELTS):
                *earlier, last = (told(melt, to_c) for melt in melts[first : first + MELTS])
                lessons = [x for x in (lesson_of(events).wax for events in earlier) if x is not None]
                known = known_wax("beeswax", lessons)
                of += 1
                for i, by_k in enumerate(OFF_K):
                    found = drift_of(known, lesson_of(_off(last, by_k)).wax)
                    counts[i] += found is not None and found.by_k * (by_k or found.by_k) > 0.0
        blamed += counts[0]
        print(f"{name} | {of} | {' | '.join(f'{count}' for count in counts)}", flush=True)
    return blamed == 0
