"""A melt's setup with what the checks and plunge tests of its probes gave."""

from dataclasses import replace

from candlebench.core.setup import MeltSetup
from candlebench.core.trust.lag import with_plunge
from candlebench.records.probes import Probes


def with_checks(setup: MeltSetup, probes: Probes) -> MeltSetup:
    """Return the setup with the corrections in force for its probes, and the lag of a plunge test.

    Parameters
    ----------
    setup : MeltSetup
        With what melts taught of the probe, freshly read: a plunge test is joined with it.
    probes : Probes

    Raises
    ------
    FixableError
        The checks may not be read.
    """
    known, beside, book = setup.known, setup.beside, probes.book()
    plunge = book.plunge(setup.probe) if setup.probe else None
    if plunge is not None:
        known = replace(known, probe=with_plunge(known.probe, plunge))
    if beside is not None:
        beside = replace(beside, correction=book.correction(beside.probe) if beside.probe else None)
    correction = book.correction(setup.probe) if setup.probe else None
    return replace(setup, known=known, correction=correction, beside=beside)
