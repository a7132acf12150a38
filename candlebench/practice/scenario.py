"""What a practice melt is made of: room, wax, oil, jug, bath, hob, probe, jars, and what happens meanwhile.

Every default carries the row of the reference tables it comes from, or says that it is an estimate. They are
places to begin, good to about 30 % (rows H29 to H32).
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Room:
    """The kitchen."""

    temp_c: float = 20.0
    # H18: room of 20 degC and 50 % relative humidity. C
    humidity: float = 0.5
    altitude_m: float = 0.0
    # H14: a fan can double what the air takes; 1 is still air. From memory, check before relying on it. M
    air_times: float = 1.0


@dataclass(frozen=True, slots=True)
class Charge:
    """The wax in the jug.

    Attributes
    ----------
    name : str
        A wax of `resources/data/waxes.toml`.
    knee_shift_k : float
        How much higher (lower when negative) than usual this lot melts.
    latent_j_per_g : float
        Heat of melting.
    pieces_share : float
        Share of the wax that lies in the middle as pieces and takes its heat from the melt around it; the
        rest stands at the wall.
    """

    mass_g: float
    name: str = "beeswax"
    start_c: float = 20.0
    knee_shift_k: float = 0.0
    # W25, W26: 180 +- 25 J/g. R / C (proposal)
    latent_j_per_g: float = 180.0
    pieces_share: float = 0.0
    # From the melt to a kilogram of pieces that float in it. Estimate
    pieces_w_per_kg_k: float = 10.0


@dataclass(frozen=True, slots=True)
class OilCharge:
    """The scent that stands ready."""

    mass_g: float
    name: str = ""
    volume_ml: float | None = None
    temp_c: float = 20.0
    scented_flash_c: float | None = None


@dataclass(frozen=True, slots=True)
class Jug:
    """The jug and how heat passes through it. Losses are for a difference of 55 K.

    `candlebench.practice.vessels` works these figures out from a jug's material, weight and diameter.
    """

    material: str = "steel"
    diameter_mm: float = 130.0
    # 677 g at 0.84 g/mL (W15) in a jug 130 mm wide.
    filled_mm: float = 63.0
    # H29, H31: 250 g of steel for 300 g of wax, 450 g for 1000 g; about 350 g at 500 J/kg K here. C
    metal_j_per_k: float = 175.0
    # H13: 10 to 13 W/m2 K on a wall of 0.026 m2 (130 mm wide, filled 63 mm). C
    wall_w_per_k: float = 0.31
    # H15 and W38: 8 convected + 6 radiated W/m2 K over a top of 0.0133 m2. C / M
    top_w_per_k: float = 0.19
    # H12: 1.25 for free convection alone; radiation, nearer 1.1, shares the loss. Estimate
    loss_exponent: float = 1.2
    # How unsteady the air is: share by which the losses wander. Estimate
    draught: float = 0.04
    # Wall to melted wax over 0.039 m2 at 180 W/m2 K: above the free convection of H10 (50 to 100), because
    # the melt is stirred now and then. Estimate, set so that 700 g melts in 20 to 25 minutes
    to_liquid_w_per_k: float = 7.0
    # The same to pieces of solid wax, which touch the wall in places only. Estimate
    to_solid_w_per_k: float = 4.2
    # Through the base once it is off the heat; it is put on a board or a towel. Estimate
    base_w_per_k: float = 0.0


@dataclass(frozen=True, slots=True)
class Bath:
    """The pan of water that the jug stands in."""

    water_g: float = 1200.0
    start_c: float = 20.0
    # H26: 700 g of stainless steel at 500 J/kg K. M
    pan_j_per_k: float = 350.0
    # H13: 12 W/m2 K on 0.063 m2 of wall (200 mm wide, 100 mm deep). C
    pan_w_per_k: float = 0.75
    # H20: open ring of water in a 20 cm pan. C
    open_m2: float = 0.014
    # The jug's own base, 130 mm wide, open to the air while the jug is off.
    jug_m2: float = 0.0133
    # Simmering water on 0.039 m2 of steel at 500 W/m2 K. Estimate
    to_jug_w_per_k: float = 20.0


@dataclass(frozen=True, slots=True)
class Hob:
    """The hob. `power_w` is what it takes; `efficiency` of that reaches the pan.

    Attributes
    ----------
    low_fraction : float
        Where the knob stands at a low simmer, as a share of full power.
    lag_s : float
        How slowly its heat follows the knob.
    hottest_c : float
        A pan as hot as this takes no more heat.
    pulses_below : float
        Below this share of full power it gives that share in pulses; 0 for a hob that can be turned low.
    pulse_s : float
        From one pulse to the next.
    """

    kind: str = "plate"
    # H8: 1.0 to 2.0 kW. M
    power_w: float = 1300.0
    # H5, H6: 74 to 80 %. R / S
    efficiency: float = 0.77
    # H9: 100 to 400 W at a low simmer; near the low end. C
    low_fraction: float = 0.15
    # A plate takes about a minute to warm up and to cool down. Estimate
    lag_s: float = 40.0
    # A plate is about 500 degC at its hottest; from memory, check before relying on it. M
    hottest_c: float = 500.0
    pulses_below: float = 0.0
    pulse_s: float = 20.0


HOBS = {
    "plate": Hob(),
    # H5, H6: 32 to 40 %. H8: 1.0 to 3.0 kW. Flame and grate answer within seconds; the hot gas, mixed with
    # the air it draws in, heats a dry pan to some 600 degC. R / S / M; the last two estimates
    "gas": Hob("gas", power_w=2500.0, efficiency=0.36, lag_s=5.0, hottest_c=600.0),
    # H5, H6: 84 to 85 %. H8: 1.2 to 2.2 kW. It answers at once, cuts out at a pan of about 280 degC, and
    # gives low powers in pulses; from memory, check before relying on it. R / S / M
    "induction": Hob(
        "induction", power_w=1800.0, efficiency=0.85, lag_s=2.0, hottest_c=280.0, pulses_below=0.4
    ),
}


@dataclass(frozen=True, slots=True)
class ProbeKind:
    """The thermometer in the wax.

    Attributes
    ----------
    sheath_lag_s : float
        A second lag, of a thick sheath; 0 for none.
    wall_share : float
        How much of what it shows is the jug's wall: more than 0 when it touches the wall or the base.
    air_share : float
        How much is the air of the room: more than 0 when it does not dip in deep enough (T26).
    """

    # T24: 5 to 15 s stirred, 30 s or more still. M
    lag_s: float = 8.0
    sheath_lag_s: float = 0.0
    noise_c: float = 0.04
    resolution_c: float = 0.1
    wall_share: float = 0.0
    air_share: float = 0.0


@dataclass(frozen=True, slots=True)
class Jars:
    """The jars that the wax is poured into, alike, on a board in the room."""

    count: int = 6
    # H38: 75 mm wide. C
    diameter_mm: float = 75.0
    # H23: 3 mm of glass at 2.5 g/cm3 on a jar of that width; estimate
    glass_g: float = 180.0
    start_c: float = 20.0


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that happens while the melt goes on.

    Attributes
    ----------
    text : str
        For people: what happens, and what it means for them.
    at_min : float or None
        Minutes after the beginning.
    when_wax_c : float or None
        Or when the wax, still warming, first gets that warm.
    lasts_min : float
        How long it goes on, and is shown.
    away : bool
        The person is kept from the hob meanwhile: nobody does a step.
    knob : float or None
        Where somebody turns the knob to when it begins.
    air_times : float or None
        How many times as much heat the air takes away meanwhile.
    probe : str
        Where the probe is meanwhile: '' where it was, 'lifted out', or 'on the wall'.
    """

    text: str
    at_min: float | None = None
    when_wax_c: float | None = None
    lasts_min: float = 1.0
    away: bool = False
    knob: float | None = None
    air_times: float | None = None
    probe: str = ""


@dataclass(frozen=True, slots=True)
class Scenario:
    """One practice melt, before anything has happened.

    Attributes
    ----------
    name : str
        Its file's name without the ending; the part after `practice:` in an address.
    title : str
        For people: 'Six 120 g jars, lavender'.
    teaches : str
        What one learns by it, in one or two sentences.
    brief : str
        The situation before it begins, in a sentence or two.
    order : int
        Its place in a list, the easiest first.
    cable : bool
        Whether readings come by themselves; without a cable the person types what the thermometer shows.
    file : str
        Where it was read from; empty for one that comes with the program.
    """

    name: str
    title: str
    wax: Charge
    teaches: str = ""
    brief: str = ""
    order: int = 100
    cable: bool = True
    file: str = ""
    room: Room = Room()
    oil: OilCharge | None = None
    jug: Jug = Jug()
    bath: Bath = Bath()
    hob: Hob = Hob()
    probe: ProbeKind = ProbeKind()
    jars: Jars = Jars()
    happenings: tuple[Happening, ...] = ()
