"""Where a probe hangs, in words for people."""

from candlebench.core.place import Place
from candlebench.words import tr


def place_words(place: Place) -> str:
    """'Bath': at the beginning of a label."""
    return {Place.MELT: tr("Wax"), Place.BATH: tr("Bath"), Place.ROOM: tr("Room")}[place]


def place_words_within(place: Place) -> str:
    """'bath': beside a curve, or within a sentence."""
    return {Place.MELT: tr("wax"), Place.BATH: tr("bath"), Place.ROOM: tr("room")}[place]


def probe_words(place: Place) -> str:
    """'The probe in the bath': at the beginning of a sentence."""
    return {
        Place.MELT: tr("The probe in the wax"),
        Place.BATH: tr("The probe in the bath"),
        Place.ROOM: tr("The probe in the room"),
    }[place]
