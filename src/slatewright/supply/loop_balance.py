"""A closed circuit minute by minute: what goes in, what is used up, what is vented, what stays.

The loop is kept full at ambient pressure: what it lacks comes from the diluent, what it has no room
for is vented, mixed. Oxygen is added where the ppO2 is below the setpoint. Water vapour is left
out; what is exhaled beside the loop and what leaks is not known.

The setpoint is held, except that

- the loop is never flushed beyond `RICHEST` of oxygen: to be rid of the last inert gas would take
  flushing without end. From where the pressure is too low, the ppO2 falls with it;
- nothing takes oxygen out but the diver. Where diluent brings more than is used up (on a descent,
  or with a diluent richer than the setpoint), the ppO2 rises above the setpoint and falls back as
  the diver breathes it down; no oxygen is added meanwhile.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from slatewright.errors import InputError
from slatewright.supply import loop_formulas as formulas

RICHEST: Final = 0.98
"""Oxygen in a loop that is flushed as far as anyone does: ours, no published source [-]."""
RICHEST_DILUENT: Final = 0.9
_PIECE_MIN: Final = 0.5
_HALVINGS: Final = 60
_NEAR_MOL: Final = 1e-12
_NEAR_MIN: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Flows:
    """What passed through a loop in a time.

    Parameters
    ----------
    oxygen_mol, diluent_mol
        Added from the cylinders [mol].
    used_mol
        Oxygen used up by the diver [mol].
    vented_oxygen_mol, vented_inert_mol
        Vented into the water [mol].
    """

    oxygen_mol: float = 0.0
    diluent_mol: float = 0.0
    used_mol: float = 0.0
    vented_oxygen_mol: float = 0.0
    vented_inert_mol: float = 0.0

    def __add__(self, other: Flows) -> Flows:
        """Return both together."""
        return Flows(
            self.oxygen_mol + other.oxygen_mol,
            self.diluent_mol + other.diluent_mol,
            self.used_mol + other.used_mol,
            self.vented_oxygen_mol + other.vented_oxygen_mol,
            self.vented_inert_mol + other.vented_inert_mol,
        )


@dataclass
class Counted:
    """A loop while its gas is counted.

    Parameters
    ----------
    mol_per_bar
        Amount in the loop for each bar of a partial pressure [mol/bar].
    diluent_o2
        Mole fraction of oxygen in the diluent [-].
    oxygen_mol, inert_mol
        What is in it [mol].

    Raises
    ------
    InputError
        If the diluent is oxygen: there is nothing to dilute with.
    """

    mol_per_bar: float
    diluent_o2: float
    oxygen_mol: float = field(default=0.0, init=False)
    inert_mol: float = field(default=0.0, init=False)

    def __post_init__(self) -> None:
        if not 0.0 <= self.diluent_o2 <= RICHEST_DILUENT:
            raise InputError(
                f"a diluent with {self.diluent_o2 * 100.0:g} % oxygen does not dilute",
                where="diluent",
                right=f"at most {RICHEST_DILUENT * 100.0:g} % oxygen",
            )

    @property
    def ppo2_bar(self) -> float:
        """The ppO2 in it [bar]."""
        return self.oxygen_mol / self.mol_per_bar

    def fill(self, ambient_bar: float, setpoint_bar: float) -> Flows:
        """Fill the empty loop.

        Parameters
        ----------
        ambient_bar
            Ambient pressure [bar].
        setpoint_bar
            The setpoint [bar].

        Returns
        -------
        Flows
            What it took.
        """
        total_mol = self.mol_per_bar * ambient_bar
        wanted_mol = max(self._wanted_mol(ambient_bar, setpoint_bar), self.diluent_o2 * total_mol)
        inert_mol = total_mol - wanted_mol
        diluent_mol = formulas.diluent_for_inert_mol(inert_mol, self.diluent_o2)
        self.oxygen_mol, self.inert_mol = wanted_mol, inert_mol
        return Flows(total_mol - diluent_mol, diluent_mol)

    def pass_time(
        self,
        from_bar: float,
        to_bar: float,
        minutes: float,
        setpoint_bar: float,
        used_mol_per_min: float,
    ) -> Flows:
        """Bring the loop through a time in which the ambient pressure changes evenly.

        Parameters
        ----------
        from_bar, to_bar
            Ambient pressure at the start and the end [bar].
        minutes
            Time [min].
        setpoint_bar
            The setpoint [bar].
        used_mol_per_min
            Oxygen used up in a minute [mol/min].

        Returns
        -------
        Flows
            What passed through it.
        """
        flows = self._raise_to(from_bar, setpoint_bar)
        slope = (to_bar - from_bar) / minutes
        passed_min = 0.0
        ends_min = [minutes]
        if slope:
            to_corner_min = (setpoint_bar / RICHEST - from_bar) / slope
            if 0.0 < to_corner_min < minutes:
                ends_min = [to_corner_min, minutes]
        for end_min in ends_min:
            while end_min - passed_min > _NEAR_MIN:
                piece_min = min(_PIECE_MIN, end_min - passed_min)
                if end_min - passed_min - piece_min < _NEAR_MIN:
                    piece_min = end_min - passed_min
                part, took_min = self._piece(
                    from_bar + slope * passed_min, slope, piece_min, setpoint_bar, used_mol_per_min
                )
                flows += part
                passed_min += took_min
        return flows

    def _wanted_mol(self, ambient_bar: float, setpoint_bar: float) -> float:
        return self.mol_per_bar * min(setpoint_bar, RICHEST * ambient_bar)

    def _raise_to(self, ambient_bar: float, setpoint_bar: float) -> Flows:
        """Flush with oxygen up to the setpoint, as after a change of it."""
        wanted_mol = self._wanted_mol(ambient_bar, setpoint_bar)
        if self.oxygen_mol >= wanted_mol - _NEAR_MOL:
            return Flows()
        total_mol = self.oxygen_mol + self.inert_mol
        inert_mol = total_mol - wanted_mol
        added_mol = formulas.oxygen_flush_mol(total_mol, self.inert_mol, inert_mol)
        vented_inert_mol = self.inert_mol - inert_mol
        self.oxygen_mol, self.inert_mol = wanted_mol, inert_mol
        return Flows(
            oxygen_mol=added_mol,
            vented_oxygen_mol=added_mol - vented_inert_mol,
            vented_inert_mol=vented_inert_mol,
        )

    def _piece(
        self, from_bar: float, slope: float, minutes: float, setpoint_bar: float, used: float
    ) -> tuple[Flows, float]:
        """Bring the loop through a piece in one way, and return how much of its time that took."""
        wanted_mol = self._wanted_mol(from_bar, setpoint_bar)
        if self.oxygen_mol <= wanted_mol + _NEAR_MOL:
            held = self._held(from_bar, from_bar + slope * minutes, minutes, setpoint_bar, used)
            if held is not None:
                return held, minutes
        return self._left_alone(from_bar, slope, minutes, setpoint_bar, used)

    def _held(
        self, from_bar: float, to_bar: float, minutes: float, setpoint_bar: float, used: float
    ) -> Flows | None:
        """Hold the setpoint; None if diluent brings more oxygen than is used up."""
        used_mol = used * minutes
        wanted_mol = self._wanted_mol(to_bar, setpoint_bar)
        inert_mol = self.mol_per_bar * to_bar - wanted_mol
        more_mol, more_inert_mol = wanted_mol - self.oxygen_mol, inert_mol - self.inert_mol
        if to_bar >= from_bar:
            diluent_mol = formulas.diluent_for_inert_mol(max(0.0, more_inert_mol), self.diluent_o2)
            oxygen_mol = more_mol + used_mol - self.diluent_o2 * diluent_mol
            if oxygen_mol < 0.0:
                return None
            flows = Flows(oxygen_mol, diluent_mol, used_mol)
        else:
            if setpoint_bar <= RICHEST * 0.5 * (from_bar + to_bar):
                vented_mol = formulas.oxygen_vented_mol(
                    self.mol_per_bar, setpoint_bar, from_bar, to_bar
                )
            else:  # as much of each as it makes up
                vented_mol = -more_mol
            flows = Flows(
                oxygen_mol=more_mol + used_mol + vented_mol,
                used_mol=used_mol,
                vented_oxygen_mol=vented_mol,
                vented_inert_mol=-more_inert_mol,
            )
        self.oxygen_mol, self.inert_mol = wanted_mol, inert_mol
        return flows

    def _left_alone(
        self, from_bar: float, slope: float, minutes: float, setpoint_bar: float, used: float
    ) -> tuple[Flows, float]:
        """Add no oxygen, until the setpoint is met again or the piece ends."""

        def over_mol(at_min: float) -> float:
            there_bar = from_bar + slope * at_min
            oxygen_mol, _ = self._alone_after(there_bar, slope, at_min, used)
            return oxygen_mol - self._wanted_mol(there_bar, setpoint_bar)

        took_min = minutes
        if over_mol(minutes) < 0.0:
            low_min, high_min = 0.0, minutes
            for _ in range(_HALVINGS):
                middle_min = 0.5 * (low_min + high_min)
                if over_mol(middle_min) >= 0.0:
                    low_min = middle_min
                else:
                    high_min = middle_min
            took_min = high_min
        there_bar = from_bar + slope * took_min
        oxygen_mol, inert_mol = self._alone_after(there_bar, slope, took_min, used)
        used_mol = used * took_min
        lacking_mol = self.mol_per_bar * slope * took_min + used_mol
        if lacking_mol >= 0.0:
            flows = Flows(diluent_mol=lacking_mol, used_mol=used_mol)
        else:
            flows = Flows(
                used_mol=used_mol,
                vented_oxygen_mol=self.oxygen_mol - used_mol - oxygen_mol,
                vented_inert_mol=self.inert_mol - inert_mol,
            )
        self.oxygen_mol, self.inert_mol = oxygen_mol, inert_mol
        return flows, took_min

    def _alone_after(
        self, there_bar: float, slope: float, minutes: float, used: float
    ) -> tuple[float, float]:
        """Return oxygen and inert gas after a time without oxygen added."""
        lacking = self.mol_per_bar * slope + used
        total_mol = self.mol_per_bar * there_bar
        if lacking >= 0.0:
            inert_mol = self.inert_mol + (1.0 - self.diluent_o2) * lacking * minutes
            return total_mol - inert_mol, inert_mol
        before_mol = self.oxygen_mol + self.inert_mol
        inert_mol = formulas.inert_after_venting_mol(
            self.inert_mol, before_mol, total_mol, -lacking, used
        )
        return total_mol - inert_mol, inert_mol
