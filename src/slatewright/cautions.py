"""The cautions, in one place: terminal, pages and paper show these texts and no others."""

from __future__ import annotations

from typing import Final

PLANNING: Final = (
    "A planning aid for trained divers: it is not training and no substitute for it.",
    "A decompression schedule is a model and not a guarantee; divers within it have been hurt.",
    "Every cylinder is analysed by the diver who breathes it; plan again with what was analysed.",
    "Local law, your training's standards, the makers' limits and a diving physician come first.",
)

FILLING: Final = (
    "Blending needs training and oxygen-clean equipment: high-pressure oxygen starts fires.",
    "Fill slowly, keep cool, and keep to local law on pressure vessels.",
)

STEP_RICH: Final = (
    "Oxygen-rich gas: valve, whip and cylinder clean for oxygen, no oil. Open slowly; stop if it "
    "warms."
)
"""Beside a step of a fill that lets in more oxygen than air has: common practice, no published
source."""

STEP_DRAINED: Final = "Let it out slowly and into the open: what comes out may not be breathable."
"""Beside a step of a fill that drains."""

NO_CYLINDERS: Final = "no cylinders in the plan: gas supply and way home were not judged"
"""Beside a dive whose file names none: nobody may think that there is enough."""

SHORT: Final = "A model, not a guarantee. Analyse every cylinder. Trained divers only."

AGREEMENT: Final = (
    "A pattern in plain words, no legal advice: local law comes first, what it forbids is void.",
    "Have it read by somebody who knows the law of the place before anybody signs it.",
)

RECORD: Final = (
    "A record of what was written down; it is no card, and promises nobody's skill or fitness.",
    "Local law and the standards of the agency that issues a card come first.",
)
"""On the course record and on the letter about readiness."""
