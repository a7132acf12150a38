"""The jar of a plan: what it holds, and whether it is fit."""

import math
from dataclasses import dataclass

from candlebench.core.materials.jar import JarShape
from candlebench.core.plan.reasoned import Check, Reasoned, degrees, number, with_unit
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.units import Shown
from candlebench.words import tr

# "Grams are millilitres": 998.2 kg/m3 at 20 degC (IAPWS-95, row E16's library) makes that good to 0.2 %.
_WATER_G_PER_ML = 1.0


@dataclass(frozen=True, slots=True)
class JarPart:
    """What a plan says of its jar.

    Attributes
    ----------
    shape : JarShape
        For the drawing; it ends at the rim, or at the fill line when the height was not typed.
    rim_known : bool
    fill_mm, volume_ml : Reasoned
        Fill line and what the jar holds up to it.
    width_mm : Reasoned
        Inside width at the fill line, which is the surface to be melted.
    brim_ml, headspace_mm : Reasoned or None
        None when the height was not typed.
    checks : tuple of Check
        'heat_proof', 'step', 'opening', 'headspace', and 'weighed' when it was weighed.
    jar_c : float
        Temperature the checks reckon with.
    warm_to_c : float or None
        The jar is to be at least so warm; None when it is warm enough or does not crack.
    """

    shape: JarShape
    rim_known: bool
    fill_mm: Reasoned
    volume_ml: Reasoned
    width_mm: Reasoned
    brim_ml: Reasoned | None
    headspace_mm: Reasoned | None
    checks: tuple[Check, ...]
    jar_c: float
    warm_to_c: float | None


def plan_jar(request: PlanRequest, tables: Tables, pour_c: float, shown: Shown) -> JarPart:
    """Return what the jar holds and whether it is fit. The request has no faults."""
    shape, fill_mm, fill_why = _shape_and_fill(request)
    volume_ml = shape.volume_ml(fill_mm)
    weighed = request.water_fill_g is not None or request.water_brim_g is not None
    jar_c = request.room_c if request.jar_c is None else request.jar_c
    geometry = tr("volume of a frustum, or of a cylinder when straight")
    brim = headspace = None
    if request.height_mm is not None:
        brim = Reasoned(
            shape.volume_ml(request.height_mm), "mL", tr("What the jar holds up to its rim."), geometry
        )
        headspace = Reasoned(
            request.height_mm - fill_mm,
            "mm",
            tr("From the fill line, {fill}, to the rim, {height}.").format(
                fill=with_unit(fill_mm, "mm"), height=with_unit(request.height_mm, "mm")
            ),
            tables.jars.headspace_mm.spoken_source(),
        )
    checks, warm_to_c = _checks(request, tables, pour_c, jar_c, shape, fill_mm, shown)
    return JarPart(
        shape=shape,
        rim_known=request.height_mm is not None,
        fill_mm=Reasoned(fill_mm, "mm", fill_why, geometry),
        volume_ml=Reasoned(
            volume_ml,
            "mL",
            _volume_why(request, shape, fill_mm),
            tr("weighed with water, grams taken as millilitres (0.2 % apart)") if weighed else geometry,
        ),
        width_mm=Reasoned(
            shape.width_mm(fill_mm), "mm", tr("Inside width at the fill line: the surface to melt."), geometry
        ),
        brim_ml=brim,
        headspace_mm=headspace,
        checks=checks,
        jar_c=jar_c,
        warm_to_c=warm_to_c,
    )


def _shape_and_fill(request: PlanRequest) -> tuple[JarShape, float, str]:
    """The shape, scaled to what was weighed, the fill line, and where that comes from."""
    bottom_mm = request.diameter_mm if request.bottom_mm is None else request.bottom_mm
    if request.fill_mm is None:
        # Only the water up to the fill line was weighed: the sizes say how high that is.
        assert request.water_fill_g is not None
        volume_ml = request.water_fill_g / _WATER_G_PER_ML
        if request.height_mm is None:
            top_mm, below = request.diameter_mm, bottom_mm
            area_mm2 = math.pi / 4.0 * (top_mm * top_mm + top_mm * below + below * below) / 3.0
            fill_mm = volume_ml * 1000.0 / area_mm2
            shape = JarShape(request.diameter_mm, bottom_mm, fill_mm)
        else:
            shape = JarShape(request.diameter_mm, bottom_mm, request.height_mm)
            if request.water_brim_g is not None:
                shape = _scaled(shape, request.water_brim_g, request.height_mm)
            fill_mm = shape.level_mm(volume_ml)
        return shape, fill_mm, tr("So high stands the water that was weighed.")
    height_mm = request.fill_mm if request.height_mm is None else request.height_mm
    shape = JarShape(request.diameter_mm, bottom_mm, height_mm)
    if request.water_fill_g is not None:
        shape = _scaled(shape, request.water_fill_g, request.fill_mm)
    elif request.water_brim_g is not None:
        shape = _scaled(shape, request.water_brim_g, height_mm)
    return shape, request.fill_mm, tr("As typed.")


def _scaled(shape: JarShape, water_g: float, level_mm: float) -> JarShape:
    scale = water_g / _WATER_G_PER_ML / shape.volume_ml(level_mm)
    return JarShape(shape.top_mm, shape.bottom_mm, shape.height_mm, scale)


def _volume_why(request: PlanRequest, shape: JarShape, fill_mm: float) -> str:
    if request.water_fill_g is not None:
        return tr("The water up to the fill line weighed {water}.").format(
            water=with_unit(request.water_fill_g, "g")
        )
    if request.water_brim_g is not None:
        return tr("The jar holds {water} of water to the rim; up to {fill} it is this part of it.").format(
            water=with_unit(request.water_brim_g, "g"), fill=with_unit(fill_mm, "mm")
        )
    if request.bottom_mm is None or request.bottom_mm == request.diameter_mm:
        return tr("{width} mm wide inside, {fill} mm high.").format(
            width=number(request.diameter_mm), fill=number(fill_mm)
        )
    return tr("{bottom} mm wide at the bottom, {width} mm at the fill line, {fill} mm high.").format(
        bottom=number(request.bottom_mm), width=number(shape.width_mm(fill_mm)), fill=number(fill_mm)
    )


def _checks(
    request: PlanRequest,
    tables: Tables,
    pour_c: float,
    jar_c: float,
    shape: JarShape,
    fill_mm: float,
    shown: Shown,
) -> tuple[tuple[Check, ...], float | None]:
    step, warm_to_c = _step_check(request, tables, pour_c, jar_c, shown)
    checks = [_heat_check(request, tables), step, _opening_check(request, tables, fill_mm)]
    checks.append(_headspace_check(request, tables, fill_mm))
    if shape.scale != 1.0:
        checks.append(_weighed_check(shape))
    return tuple(checks), warm_to_c


def _heat_check(request: PlanRequest, tables: Tables) -> Check:
    kind = tables.jars.kinds[request.jar_kind]
    text = {
        True: tr("{kind} bears a flame."),
        False: tr("{kind} does not bear a flame: take another container."),
        None: tr("{kind}: find out whether it bears a flame before you fill it."),
    }[kind.heat_proof]
    return Check("heat_proof", kind.heat_proof, text.format(kind=kind.shown_name), kind.note, kind.source)


def _step_check(
    request: PlanRequest, tables: Tables, pour_c: float, jar_c: float, shown: Shown
) -> tuple[Check, float | None]:
    kind = tables.jars.kinds[request.jar_kind]
    step_k = pour_c - jar_c
    why = tr("Wax at {pour} into a jar at {jar} is a step of {step}.").format(
        pour=shown.temp(pour_c), jar=shown.temp(jar_c), step=degrees(step_k, shown)
    )
    if kind.step_k is None:
        known = kind.heat_proof is True
        text = tr("No figure limits the step for it.") if known else tr("No figure for its step is at hand.")
        return Check("step", True if known else None, text, why, kind.source), None
    most_k = kind.step_k.value
    if step_k <= most_k:
        text = tr("The hot wax does not shock it: a step up to {most} is borne.")
        return Check(
            "step", True, text.format(most=degrees(most_k, shown)), why, kind.step_k.spoken_source()
        ), None
    warm_to_c = float(math.ceil(pour_c - most_k))
    text = tr("Warm the jars to {warm} or more before the pour: a bigger step can crack them.")
    return (
        Check("step", False, text.format(warm=shown.temp(warm_to_c)), why, kind.step_k.spoken_source()),
        warm_to_c,
    )


def _opening_check(request: PlanRequest, tables: Tables, fill_mm: float) -> Check:
    figure = tables.jars.depth_per_opening
    depth_mm = fill_mm if request.height_mm is None else request.height_mm
    ratio = depth_mm / request.diameter_mm
    good = ratio <= figure.value
    text = (
        tr("The opening is wide enough for its depth.")
        if good
        else tr("The jar is deep for its opening: watch the flame low down, it gets little air.")
    )
    why = tr("{depth} mm deep, {opening} mm wide: {ratio} times as deep as wide.").format(
        depth=number(depth_mm), opening=number(request.diameter_mm), ratio=number(ratio)
    )
    return Check("opening", good, text, why, figure.spoken_source())


def _headspace_check(request: PlanRequest, tables: Tables, fill_mm: float) -> Check:
    figure = tables.jars.headspace_mm
    assert figure.low is not None and figure.high is not None
    if request.height_mm is None:
        text = tr("Leave {low} to {high} mm below lid or rim.")
        return Check(
            "headspace",
            None,
            text.format(low=number(figure.low), high=number(figure.high)),
            tr("The jar's height was not typed."),
            figure.spoken_source(),
        )
    room_mm = request.height_mm - fill_mm
    why = tr("{room} mm stay free above the fill line.").format(room=number(room_mm))
    if room_mm < figure.low:
        text = tr("Pour lower: {low} mm at least stay free below the rim.").format(low=number(figure.low))
        return Check("headspace", False, text, why, figure.spoken_source())
    text = tr("Enough room below the rim.")
    if room_mm > figure.high:
        text = tr("More room below the rim than the usual {low} to {high} mm.").format(
            low=number(figure.low), high=number(figure.high)
        )
    return Check("headspace", True, text, why, figure.spoken_source())


def _weighed_check(shape: JarShape) -> Check:
    # Walls, rounded corners and a raised bottom take a few per cent; more is a wrong number.
    good = abs(shape.scale - 1.0) <= 0.15
    text = (
        tr("Weight of water and sizes agree.")
        if good
        else tr("Weight of water and sizes do not agree: measure and weigh again.")
    )
    why = tr("It holds {percent} % of what its sizes say.").format(percent=number(100.0 * shape.scale))
    return Check("weighed", good, text, why, tr("common practice, no source"))
