"""Names of waxes and oils inside a sentence: 'lavender oil', but 'Atlas cedarwood' and her own names."""

from candlebench.core.materials.oil import EssentialOil
from candlebench.core.materials.wax import Wax

# Names that begin with a place keep their capital, by the name of the oil in `oils.toml`.
_PLACES = frozenset({"cedarwood-atlas", "cedarwood-virginia", "cedarwood-texas"})


def oil_in_sentence(oil: EssentialOil) -> str:
    """Return an oil's name as it stands inside a sentence; a bottle keeps the name that she gave it."""
    from_table = bool(oil.table_name) and oil.name == oil.table_name
    return _lower(oil.shown_name) if from_table and oil.name not in _PLACES else oil.shown_name


def wax_in_sentence(wax: Wax) -> str:
    """Return a wax's name as it stands inside a sentence."""
    return _lower(wax.shown_name)


def at_beginning(words: str) -> str:
    """Return the words with a capital, for the beginning of a sentence."""
    return words[:1].upper() + words[1:]


def _lower(name: str) -> str:
    return name[:1].lower() + name[1:]
