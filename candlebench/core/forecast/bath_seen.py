"""What is known of wax in a bath once a probe of its own reads the bath.

With the bath unseen, what a filter believes of it takes up what is wrong elsewhere. Seen, it leaves no room
for that, and three things have to be said that it hid: the open top cools the wax; the jug feels a bath that
warms a while later; wax that has just melted takes in heat fast for a while, from the hotter wax at the wall.
Tuned together on simulated heat-ups of seeds 2 and 7.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# How far such a probe is off the bath that the jug feels: 1 K of its own (T8 of thermometry.md), and its
# place, as a bath is hotter over the flame and cooler where the jug draws on it. Its spread, and its growth
# over five minutes. Tried 1 to 3 K, 0.3 to 1 K.
OFF_SD_K, OFF_WALK_K = 2.0, 0.5
# Growth of the spread of the log contact over five minutes. Tried 0.05 and 0.1.
CONTACT_WALK = 0.1
# The open top loses 14 W/m2 K by convection and radiation (H13, H15 of heat.md): 0.11 W/K of 300 g in a jug
# of 100 mm and 0.16 W/K of 1 kg in one of 120 mm (H29, H31), of 2.3 kJ/kg K, is 1.6e-4 and 7e-5 a second.
# Tried 7e-5 and 1e-4.
OPEN_TOP_PER_S = 7e-5
# Wall and wax at the wall warm first: the middle feels the bath of so long before. Tried 0 to 60 s.
BEHIND_S = 45.0
# When all of the wax has melted the log of its contact is higher by so much, with a spread, and that fades.
# Tried means of 0 to 0.8, spreads of 0.6 to 1, 60 to 120 s.
BOOST_OF_MELTING, BOOST_SD, BOOST_FADES_S = 0.6, 0.6, 90.0
FIRST_BOOST_SD, MOST_BOOST = 0.1, 1.5
_AT_BOILING_K = 0.01


def bath_shown(bath_c: Floats, rise_k_per_s: Floats, boiling_c: float) -> tuple[Floats, Floats]:
    """What a true probe shows of a bath that is felt later.

    Parameters
    ----------
    bath_c, rise_k_per_s : array, shape (members,)
        The bath that the jug feels, and how fast that warms.
    boiling_c : float
        Local boiling point, at which a bath stays.

    Returns
    -------
    shown_c : array, shape (members,)
        Temperature of the bath's water now.
    ahead_s : array, same shape
        By so much time it is ahead of what is felt; 0 in a boiling bath.
    """
    ahead_s = np.where(bath_c < boiling_c - _AT_BOILING_K, BEHIND_S, 0.0)
    return np.minimum(bath_c + ahead_s * rise_k_per_s, boiling_c), ahead_s
