"""Which keys of a plan file the sheet shows, and how it calls them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final


@dataclass(frozen=True, slots=True)
class Spec:
    """A key of the plan file as a field of the sheet.

    Parameters
    ----------
    key
        The key; ``{m}``, ``{l}``, ``{bar}``, ``{c}`` or ``{kg}`` stands where its unit depends on
        the file. ``rig.suit`` is the key ``suit`` of a table ``rig`` within.
    label
        What the field is called.
    kind
        ``number``, ``text``, ``choice``, ``yes`` (a box to tick), ``uses``, ``names`` or ``mix``.
    choices
        For a choice: value and words of each. The first is what stands in for nothing.
    wide
        Whether it needs a whole line.
    help
        A few words more, for those who ask.
    """

    key: str
    label: str
    kind: str = "number"
    choices: tuple[tuple[str, str], ...] = ()
    wide: bool = False
    help: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """A table of the plan file on the sheet.

    Parameters
    ----------
    table
        Its name in the file; empty for the keys that stand at the top.
    title
        What the sheet calls it.
    specs
        Its fields.
    many
        Whether there may be several of it, one row each.
    one
        What one row is called, on the buttons.
    folded
        Whether it is folded away until it is asked for.
    note
        A sentence under the title.
    inner
        Fields of a table within each row, folded away under the words `within`.
    within
        What the sheet calls that table.
    """

    table: str
    title: str
    specs: tuple[Spec, ...]
    many: bool = False
    one: str = ""
    folded: bool = False
    note: str = ""
    inner: tuple[Spec, ...] = ()
    within: str = ""


USES: Final = (
    ("bottom", "bottom"),
    ("travel", "travel"),
    ("decompression", "decompression"),
    ("travel decompression", "travel and decompression"),
    ("bottom decompression", "bottom and decompression"),
    ("travel bottom", "travel and bottom"),
    ("travel bottom decompression", "all three"),
    ("diluent", "diluent of a loop"),
    ("bailout", "bailout from a loop"),
)
_BREATHING: Final = (
    Spec("rmv_swimming_{l}_per_min", "swimming"),
    Spec("rmv_working_{l}_per_min", "working"),
    Spec("rmv_resting_{l}_per_min", "at stops"),
    Spec("rmv_stressed_{l}_per_min", "stressed"),
    Spec("gauge", "gauge", "choice", (("", "as the plan"), ("bar", "bar"), ("psi", "psi"))),
)
_RIG: Final = (
    Spec(
        "suit",
        "suit",
        "choice",
        (("", "no rig given"), ("drysuit", "drysuit"), ("wetsuit", "wetsuit")),
        wide=True,
    ),
    Spec("wing_lift_{kg}", "wing lifts"),
    Spec("second_lift_{kg}", "second lift"),
    Spec("droppable_{kg}", "lead to drop"),
    Spec("fixed_ballast_{kg}", "other lead"),
    Spec("suit_gas_{l}", "gas in the suit"),
    Spec("person_buoyancy_{kg}", "all the rest floats"),
)
_RIG_WITHIN: Final = tuple(replace(spec, key=f"rig.{spec.key}") for spec in _RIG)

GROUPS: Final = (
    Group("", "Dive", (Spec("title", "Title", "text", wide=True),)),
    Group(
        "level",
        "Stays",
        (
            Spec("depth_{m}", "depth"),
            Spec("leave_at_min", "leave at"),
            Spec("stay_min", "or stay"),
        ),
        many=True,
        one="stay",
    ),
    Group(
        "gas",
        "Gases",
        (
            Spec("mix", "mix", "mix"),
            Spec("use", "for", "uses", USES),
            Spec("travel_to_{m}", "down to"),
            Spec("switch_at_{m}", "up from"),
            Spec("ppo2_max_bar", "ppO2 max"),
        ),
        many=True,
        one="gas",
    ),
    Group(
        "cylinder",
        "Cylinders",
        (
            Spec("gas", "gas", "mix"),
            Spec("size", "size", "text"),
            Spec("pressure_{bar}", "filled to"),
            Spec(
                "place",
                "place",
                "choice",
                (
                    ("stage", "stage"),
                    ("back", "back"),
                    ("left", "left"),
                    ("right", "right"),
                    ("loop", "on the loop"),
                ),
            ),
            Spec("diver", "carried by", "names"),
        ),
        many=True,
        one="cylinder",
    ),
    Group(
        "diver",
        "Diver",
        (
            Spec("name", "name", "text"),
            *_BREATHING,
            Spec("works_at_depth", "works at depth", "yes"),
        ),
        note="What is breathed, by what is being done",
    ),
    Group(
        "rig",
        "Rig of the diver",
        _RIG,
        folded=True,
        note="What floats and sinks besides the cylinders; all the rest floats with a number above "
        "0 and sinks with one below. Without a suit there is no rig, and lift is not judged.",
    ),
    Group(
        "partner",
        "Partners",
        (
            Spec("name", "name", "text"),
            *_BREATHING,
            Spec("works_at_depth", "works at depth", "yes"),
        ),
        many=True,
        one="partner",
        inner=_RIG_WITHIN,
        within="rig",
    ),
    Group(
        "water",
        "Water",
        (
            Spec(
                "kind",
                "pressure by",
                "choice",
                (
                    ("en13319", "depth gauge (EN 13319)"),
                    ("fresh", "fresh water"),
                    ("sea", "sea water"),
                    ("teos10", "sea water by latitude"),
                ),
                wide=True,
            ),
            Spec("temperature_{c}", "temperature"),
            Spec("altitude_{m}", "altitude"),
            Spec("latitude_deg", "latitude"),
        ),
    ),
    Group(
        "model",
        "Model",
        (
            Spec("gradient_low_pct", "gradient low"),
            Spec("gradient_high_pct", "gradient high"),
            Spec("last_stop_{m}", "last stop"),
            Spec("stop_step_{m}", "step"),
            Spec(
                "name",
                "coefficients",
                "choice",
                (("ZH-L16C", "ZH-L16C"), ("ZH-L16B", "ZH-L16B"), ("ZH-L16A", "ZH-L16A")),
            ),
        ),
    ),
    Group(
        "diver",
        "Limits and descent",
        (
            Spec("descent_{m}_per_min", "descent"),
            Spec("narcotic_limit_{m}", "narcotic limit"),
            Spec("adapted_altitude_{m}", "adapted to altitude"),
        ),
        folded=True,
    ),
    Group(
        "ascent",
        "Way up",
        (
            Spec("to_first_stop_{m}_per_min", "to the first stop"),
            Spec("between_stops_{m}_per_min", "between stops"),
            Spec("to_surface_{m}_per_min", "to the surface"),
            Spec("switch_min", "a change of gas takes"),
        ),
        folded=True,
    ),
    Group(
        "breaks",
        "Breaks from oxygen",
        (Spec("on_min", "on oxygen"), Spec("off_min", "off it"), Spec("gas", "on", "mix")),
        folded=True,
        note="Filled in: breaks are made. All empty: there are none.",
    ),
    Group(
        "reserve",
        "Kept back",
        (
            Spec(
                "turn_rule",
                "turn by",
                "choice",
                (
                    ("all usable", "all usable"),
                    ("halves", "halves"),
                    ("thirds", "thirds"),
                    ("sixths", "sixths"),
                ),
            ),
            Spec("problem_min", "problem"),
            Spec("two_tasks_min", "two tasks at once"),
            Spec("decompression_factor", "stop gas, times"),
            Spec("inflation_{l}", "wing and suit"),
            Spec("surface_swim_min", "surface swim"),
            Spec("residual_{bar}", "left in cylinders"),
        ),
        folded=True,
    ),
)
"""In the order of the sheet. What is not listed here stays in the text as it is."""
