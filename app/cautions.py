"""What every plan carries, on the screen, on the sheet and in the terminal: how not to be hurt by it."""

from typing import Final

CAUTIONS: Final[tuple[str, ...]] = (
    "Set the vehicle on level ground, on stands rated for its weight, wheels chocked, before anyone goes under it.",
    "Never work under a running shaft.",
    "Before welding: battery off; fuel lines, tanks and wiring clear of heat and sparks.",
    "Axle tubes warp: tack, measure again, then weld in short opposed passes and let it cool between them.",
    "The numbers are a plan; the final word is the driveshaft builder's and the axle and joint makers' ratings.",
    "Keep to your local vehicle construction rules; use a licensed welder or engineer where the law asks for one.",
)
"""Short sentences in the order of the work."""
SHORTEST: Final = "Stands rated for its weight, wheels chocked."
"""The first of them where there is little room."""
