"""Results that say why, and input that cannot be: how a plan speaks to a page."""

from dataclasses import dataclass

from candlebench.core.errors import FixableError
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Reasoned:
    """One result with its reason.

    Attributes
    ----------
    value : float
        Not rounded.
    unit : str
        'g', 'mL', 'mm', '°C', '%', 'h', the currency, '' for a count.
    why : str
        One short sentence, already translated.
    source : str
        Where its figures come from.
    low, high : float or None
        From where to where it may lie; None when the tables give no spread.
    digits : int or None
        Behind the point, for what is weighed on a scale or paid; None for what `number` thinks fit.
    """

    value: float
    unit: str
    why: str
    source: str
    low: float | None = None
    high: float | None = None
    digits: int | None = None

    @property
    def number(self) -> str:
        """The value as it is written, without its unit."""
        return number(self.value, self.digits)

    @property
    def shown(self) -> str:
        """'297 g'."""
        return with_unit(self.value, self.unit, self.digits)

    @property
    def band(self) -> str:
        """'85 to 105 °C', or '' without a spread."""
        if self.low is None or self.high is None:
            return ""
        return tr("{low} to {high}").format(
            low=number(self.low, self.digits), high=with_unit(self.high, self.unit, self.digits)
        )


@dataclass(frozen=True, slots=True)
class Check:
    """Whether something is fit. `good` is None when the maker has to find out."""

    code: str
    good: bool | None
    text: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Caution:
    """Something to mind before the work begins.

    Attributes
    ----------
    code : str
        'no_window', 'jar_step', ...: fixed, for pages and tests.
    level : Level
        DANGER: do not begin like this. WARNING: mind it. CALM: good to know.
    text : str
        What to do, one sentence.
    why, source : str
    """

    code: str
    level: Level
    text: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Fault:
    """One impossible input.

    Attributes
    ----------
    field : str
        Name of the field of `PlanRequest`; of an oil by its place, 'oils[1]'; of a price 'prices.wick_each'.
    text : str
        What to do, one sentence, already translated.
    """

    field: str
    text: str


class ImpossiblePlan(FixableError):
    """Input that no plan can be made of; `faults` holds all of them, each with its field."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(fault.text for fault in faults))
        self.faults = faults


def degrees(difference_c: float, shown: Shown) -> str:
    """'10 °C' for a difference, in the person's degrees; `Shown.drop` gives tenths."""
    return f"{number(shown.difference(difference_c))} {shown.sign}"


def number(value: float, digits: int | None = None) -> str:
    """'297', '42.5', '4.75', '0.05': the digits that can be weighed or measured, no more, or those asked."""
    if digits is not None:
        return f"{value:.{digits}f}"
    size = abs(value)
    text = f"{value:.{0 if size >= 100.0 else 1 if size >= 10.0 else 2}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_unit(value: float, unit: str, digits: int | None = None) -> str:
    """'297 g', '6 %', '3' for a bare count."""
    text = number(value, digits)
    return f"{text} {unit}" if unit else text
