"""Colours: contrast by WCAG 2.2, and verdicts that stay apart for colour-blind eyes."""

import ast
import re
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from app.drawing.palette import THEMES, VERDICT_SIGNS, Theme, contrast, mixed, relative_luminance

# Machado, Oliveira & Fernandes (2009), full severity, on linear RGB; matrices from memory.
VISION = {
    "usual": np.eye(3),
    "no red cones": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "no green cones": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
}


def test_contrast_of_published_greys() -> None:
    # WCAG 2.2 working values: #767676 on white passes 4.5, #777777 does not, #949494 passes 3.
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.542, abs=0.001)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.478, abs=0.001)
    assert contrast("#949494", "#FFFFFF") >= 3.0
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert relative_luminance("#FFFFFF") == pytest.approx(1.0)


@pytest.mark.parametrize("theme", THEMES.values(), ids=THEMES)
def test_every_word_and_line_stands_off_its_paper(theme: Theme) -> None:
    for name in ("ink", "muted", "accent", "clear", "caution", "hold", "unknown"):
        colour = theme.colour(name)
        assert contrast(colour, theme.paper) >= 4.5, name
    for tone in (theme.accent, theme.caution, theme.hold):  # centre lines run over wedges, which are half of that
        assert contrast(theme.ink, mixed(tone, theme.paper, 0.5)) >= 3.0


def lab(linear: np.ndarray) -> np.ndarray:
    # CIE 1976 L*a*b*, D65 (CIE 15), from memory.
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ np.clip(
        linear, 0, 1
    )
    f = [v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in xyz / np.array([0.95047, 1.0, 1.08883])]
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def linear(colour: str) -> np.ndarray:
    parts = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize("vision", VISION)
@pytest.mark.parametrize("theme", THEMES.values(), ids=THEMES)
def test_verdicts_stay_apart_for_colour_blind_eyes(theme: Theme, vision: str) -> None:
    seen = {name: lab(VISION[vision] @ linear(getattr(theme, name))) for name in ("hold", "caution", "clear")}
    for one, other in combinations(seen, 2):
        # 2.3 is about the least difference that is noticed (CIE 1976); six times that is plain at a glance.
        assert np.linalg.norm(seen[one] - seen[other]) > 6 * 2.3, (one, other)


def test_the_verdicts_signs_stand_once() -> None:
    """Whoever writes a verdict's shape takes it from the table; what is from memory has a mark of its own."""
    root = Path(__file__).parents[3]
    signs = f"[{''.join(VERDICT_SIGNS.values())}]"
    written = [
        f"{path.relative_to(root)}: {node.value}"
        for path in {*(root / "app").rglob("*.py")} - {root / "app" / "papers" / "kit.py"}
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.fullmatch(f"{signs} ?", node.value)
    ]
    assert sorted(written) == sorted(f"app/drawing/palette.py: {sign}" for sign in VERDICT_SIGNS.values())
