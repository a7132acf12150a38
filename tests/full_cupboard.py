"""A cupboard of an invented small shop, for the tests of whatever shows or keeps one."""

from datetime import date
from types import MappingProxyType

from candlebench.core.cupboard import (
    Cupboard,
    JarStock,
    LabelStock,
    OilBottle,
    Price,
    WaxLot,
    WickStock,
)
from candlebench.core.materials.oil import described_oil
from candlebench.core.plan.request import Leftover
from candlebench.core.setup import Limits
from candlebench.records.cupboard_stock import Mark, Stock

SPRING = OilBottle("Lavender, spring", "lavender", 128.0, Price(35.0, 100.0), flash_c=72.0)
ORANGE = OilBottle("Orange", "orange", 60.0, Price(9.0, 100.0))
OWN_LIMITS = Limits(64.0, 67.0, 73.0, 65.0, 68.0, 78.0, 84.0, 92.0)

CUPBOARD = Cupboard(
    waxes=(
        WaxLot(
            "Meadow 7", "beeswax", 3400.0, True, "yellow", 62.4, Price(66.0, 3000.0), OWN_LIMITS, 5.0, 0.58
        ),
        WaxLot("Pale blocks", "beeswax", 900.0, colour="pale", price=Price(24.0, 1000.0)),
        WaxLot("Soy flakes", "soy-container", 5000.0, price=Price(42.5, 5000.0), oil_limit_pct=8.0),
        WaxLot(
            "Field oil wax", "rapeseed", 1250.0, price=Price(11.0, 1000.0), note="softer than the last one"
        ),
        WaxLot("Old ends", "paraffin", 0.0, colour="white"),
    ),
    oils=(
        SPRING,
        ORANGE,
        OilBottle("Clove, small", "clove", 9.0, Price(4.5, 10.0)),
        OilBottle("Cedar", "cedarwood-atlas", 45.0, Price(12.0, 50.0)),
        OilBottle("Garden blend", "", 30.0, density_g_per_ml=0.91, note="sheet in the drawer"),
    ),
    jars=(
        JarStock("Round", 22, 75.0, 80.0, height_mm=90.0, price=Price(9.5, 10.0)),
        JarStock("Cone", 6, 80.0, 70.0, bottom_mm=62.0, height_mm=85.0, price=Price(14.4, 12.0)),
        JarStock("Flat tin", 40, 77.0, 38.0, kind="tin", price=Price(27.0, 50.0)),
    ),
    wicks=(
        WickStock("Braid no. 2", "square-braid", "#2", 140, Price(14.0, 200.0)),
        WickStock("Braid no. 3", "square-braid", "#3", 12, Price(3.0, 25.0)),
        WickStock("Flat 30", "flat-braid", "30", 60, Price(7.5, 100.0)),
    ),
    labels=(LabelStock("Small round", 84, Price(6.0, 100.0)), LabelStock("Wide", 18, Price(3.0, 25.0))),
    leftovers=(
        Leftover("Jug of May", (("beeswax", 228.0),), ((SPRING.essential_oil(), 12.0),)),
        Leftover(
            "Pot of ends",
            (("beeswax", 210.0), ("paraffin", 90.0)),
            ((ORANGE.essential_oil(), 6.0), (described_oil("clove", "clove"), 2.0)),
        ),
    ),
)

MARKS = MappingProxyType(
    {
        ("waxes", "Meadow 7"): Mark(date(2026, 6, 14), 6000.0),
        ("waxes", "Pale blocks"): Mark(date(2026, 9, 2), 5000.0),
        ("waxes", "Soy flakes"): Mark(date(2026, 11, 3), 5000.0),
        ("waxes", "Field oil wax"): Mark(date(2026, 10, 20), 2000.0),
        ("waxes", "Old ends"): Mark(date(2025, 2, 11), 800.0),
        ("oils", "Lavender, spring"): Mark(date(2026, 5, 30), 200.0),
        ("oils", "Orange"): Mark(date(2026, 10, 1), 100.0),
        ("oils", "Clove, small"): Mark(date(2026, 10, 1), 10.0, 10.0),
        ("oils", "Cedar"): Mark(date(2026, 8, 19), 50.0),
        ("oils", "Garden blend"): Mark(date(2026, 8, 19), 30.0),
        ("jars", "Round"): Mark(date(2026, 11, 9), 48.0),
        ("jars", "Cone"): Mark(date(2026, 4, 3), 36.0, 8.0),
        ("jars", "Flat tin"): Mark(date(2026, 11, 9), 50.0),
        ("wicks", "Braid no. 2"): Mark(date(2026, 3, 17), 200.0),
        ("wicks", "Braid no. 3"): Mark(date(2026, 3, 17), 25.0),
        ("wicks", "Flat 30"): Mark(date(2026, 3, 17), 100.0),
        ("labels", "Small round"): Mark(date(2026, 7, 7), 100.0),
        ("labels", "Wide"): Mark(date(2026, 7, 7), 25.0),
        ("leftovers", "Jug of May"): Mark(date(2026, 5, 31), 240.0),
        ("leftovers", "Pot of ends"): Mark(date(2026, 11, 2), 308.0),
    }
)

STOCK = Stock(CUPBOARD, MARKS)
