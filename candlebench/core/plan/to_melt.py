"""From a plan to the melt that makes it."""

from candlebench.core.plan.planning import Plan
from candlebench.core.setup import MeltSetup
from candlebench.words import tr_count


def melt_setup(plan: Plan, title: str = "", source: str = "", jug: str = "", probe: str = "") -> MeltSetup:
    """Return the setup of the melt that makes a plan: wax, oil, windows and limits go along.

    The wax is all that lies in the jug, leftovers with it, so that the chill by the oil is right. Whether the
    oil window is open tells `wax.oil_window_open(setup.limits)`; what earlier melts taught (`known`) is for
    the workshop to add.

    Parameters
    ----------
    title : str
        What the person calls it; a name is made of the count and the oil when empty.
    source, jug, probe : str
        As in `MeltSetup`.
    """
    request = plan.request
    return MeltSetup(
        title=title or plan_title(plan),
        wax=request.wax,
        limits=plan.limits,
        room_c=request.room_c,
        altitude_m=request.altitude_m,
        wax_g=plan.amounts.all_wax_g,
        oil=plan.melt_oil,
        source=source,
        lot=request.lot,
        jug=jug,
        probe=probe,
    )


def plan_title(plan: Plan) -> str:
    """'6 jars of 280 g, Lavender': a name for a plan that has none."""
    count = plan.request.count
    title = tr_count("{n} jar of {grams:.0f} g", "{n} jars of {grams:.0f} g", count).format(
        n=count, grams=plan.wax.each_g.value
    )
    return f"{title}, {plan.scent}" if plan.scent else title
