"""What the day plan takes for granted until a shop says otherwise: common practice, no source.

Times [s]. Every one is shown where it is used, so that a painter can disagree with it.
"""

from typing import Final

from coatwright.sentences import say

TICK: Final = 60.0
"""The timetable counts minutes."""

CLEAN_WAITS: Final = 4 * 3600.0
"""Longest from wiping down to the first coat: dust settles and hands touch it (common practice)."""

BARE_WAITS: Final = 8 * 3600.0
"""Longest from baring or abrading metal to its first coat: 4 to 8 h in damp air, never overnight
(common practice)."""

DEGREASER_FLASHES: Final = 600.0
"""From wiping down to the first coat, at least (common practice)."""

SESSION: Final = 2 * 3600.0
"""Coats of one layer go on in one session: longest from one to the next (assumption)."""

GUN_CLEANING: Final = 600.0
"""Emptying and cleaning a gun (common practice)."""

GOES_ON: Final = 1500.0
"""A gun that is used again with the same paint within this time need not be cleaned between; too
short for cleaning it twice and spraying something else (assumption)."""

MIXING: Final = 300.0
"""Pour, stir, strain, fill (assumption)."""

MOVING: Final = 60.0
"""From one area to the next, hose and light with it (assumption)."""

REFILL: Final = 60.0
"""Each filling of the gun after the first (assumption)."""

DUST_SETTLES: Final = 900.0
"""From the end of rubbing down to a coat in the same room (common practice)."""

CLEARING: Final = 1800.0
"""After spraying two-pack paint nobody is in that room without breathing apparatus for at least
this long; an open workshop may take longer (hse-clearance)."""

MASK_PER_M2: Final = 240.0
MASK_FIXED: Final = 300.0
"""Masking round what is painted: for each square metre, and however small (common practice)."""

WIPE_SHARE: Final = 0.5
"""Wiping down once more what came degreased takes this share of degreasing it (assumption)."""

GUIDE_COAT: Final = 60.0
"""A guide coat, for each square metre (common practice); it dries while the block is fetched."""

NARROW: Final = 24 * 3600.0
"""Where primed metal is to wait, the wait ends this long before its window closes (assumption)."""

FEW_AREAS: Final = 6
"""Up to so many areas each is planned by itself; more are done in sets of like ones."""

POT_SHARE: Final = 0.7
"""A coat of one set may take this share of the pot life, so that it is not sprayed as it gels."""

DUSTY: Final = frozenset(
    {"strip", "strip thin", "remove rust", "abrade bare", "abrade old", "abrade new", "block"}
)
"""Acts that raise dust."""

BARING: Final = frozenset({"strip", "strip thin", "remove rust", "abrade bare"})
"""Acts that leave bare ground."""

KEYING: Final = frozenset({"abrade new", "block"})
"""Acts after which the next coat holds by its key, whatever the recoat window says."""

RULES: Final = (
    say(
        "Insides and underside get their finish before the outside does, and are "
        "through-dry before anything is masked on them."
    ),
    say(
        "Pockets are sprayed before what surrounds them, so that no hose is dragged over wet paint."
    ),
    say(
        "Nothing is rubbed down while a coat is being sprayed or flashing off in "
        "the same room, and dust settles for 15 min before a coat."
    ),
    say(
        "Bare metal is coated within 8 h of being bared and within 4 h of being "
        "wiped down: never left overnight."
    ),
    say(
        "Coats of one layer go on in one session, at most 2 h apart or four "
        "flash-offs if those are longer."
    ),
    say(
        "A coat is never broken off for a rest or the evening; masking, wiping and rubbing may be."
    ),
    say(
        "The gun is cleaned after the last coat of a layer, inside the pot life "
        "of the mix, unless it goes on with the same paint within 25 min."
    ),
    say("Cavity wax goes in last, when everything else is through-dry."),
)
"""The order of work that every plan keeps, in words."""
