"""Where the person has the axle in its travel and under which torque: a way of looking, never part of the document."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject, Signal

from app.drawing.subject import Torque
from app.window.document import Answered, Document
from geometry.words.solution import Solution, UsedState
from geometry.words.solve import Work

TORQUES: Final[tuple[Torque, ...]] = ("none", "cruise", "launch")


class TravelState(QObject):
    """Place in the travel and torque, for every view of one document; the solution there is worked out when asked for.

    `moved` says that place or torque are other ones, `rebuilt` that the build is another one and all is to be shown
    anew.
    """

    moved = Signal()
    rebuilt = Signal()

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._travel_mm = 0.0
        self._torque: Torque = "none"
        self._number = 0
        self._there: Solution | None = None
        self._there_of: Answered | None = None
        self._asked: tuple[float, Torque, int] = (0.0, "none", 0)
        document.changed.connect(self._rebuild)
        for shown_anew in (document.opened, document.turned):
            shown_anew.connect(self.to_ride_height)

    @property
    def range_mm(self) -> tuple[float, float] | None:
        """Full droop (negative) and full bump as far as the axle reaches, or None where the travel is not known.

        From ride height in the state that is shown; the stops stay where they are.
        """
        travel = self._document.shown.solution.travel
        if travel is None or travel.axle_mm[-1] - travel.axle_mm[0] <= 0.0:
            return None
        return min(travel.axle_mm[0] - self.up_mm, 0.0), max(travel.axle_mm[-1] - self.up_mm, 0.0)

    @property
    def used(self) -> UsedState | None:
        """The state of those that the vehicle is used in; None as measured."""
        states = self._document.shown.solution.states
        return states[self._number] if 0 < self._number < len(states) else None

    @property
    def up_mm(self) -> float:
        """How much higher the axle stands in that state than as measured, mm."""
        used = self.used
        return 0.0 if used is None else used.driven_mm or 0.0

    @property
    def states(self) -> tuple[UsedState, ...]:
        """All of them, as measured first; none where that is the only one."""
        return self._document.shown.solution.states

    @property
    def travel_mm(self) -> float:
        """Place of the axle, mm from ride height, bump positive."""
        return self._travel_mm

    @property
    def torque(self) -> Torque:
        """Torque that the axle is under."""
        return self._torque

    @property
    def at_rest(self) -> bool:
        """Whether the axle is at ride height as measured, without torque."""
        return self._travel_mm == 0.0 and self._torque == "none" and self.used is None

    def torque_known(self, torque: Torque) -> bool:
        """Whether the build tells how far this torque winds the axle up."""
        if torque == "none":
            return True
        windup = self._document.shown.solution.windup
        found = None if windup is None else windup.cruise_deg if torque == "cruise" else windup.launch_deg
        return found is not None

    @property
    def work(self) -> Work:
        """What was worked out about the build as it stands."""
        return self._document.shown.work

    @property
    def there(self) -> Solution | None:
        """The solution at this place and under this torque; None at rest, where the document's own holds."""
        if self.at_rest:
            return None
        shown = self._document.shown
        if self._there is None or self._there_of is not shown:  # a view may ask before all have heard of an edit
            place, torque = self._within(self._travel_mm), self._torque if self.torque_known(self._torque) else "none"
            number = self._number if self.used is not None else 0
            self._there, self._there_of = shown.work.posed(shown.solution, place, torque, number), shown
        return self._there

    def go(self, travel_mm: float) -> None:
        """Move the axle, as far as it reaches."""
        self._set(self._within(travel_mm), self._torque, self._number)

    def load(self, torque: Torque) -> None:
        """Put the axle under torque, if it is known how far that winds it up."""
        if self.torque_known(torque):
            self._set(self._travel_mm, torque, self._number)

    def use(self, number: int) -> None:
        """Show the vehicle at ride height in one of the states that it is used in, 0 as measured."""
        self._set(0.0, self._torque, number)

    def to_ride_height(self) -> None:
        """Show ride height as measured, without torque."""
        self._set(0.0, "none", 0)

    def _set(self, travel_mm: float, torque: Torque, number: int) -> None:
        self._asked = (travel_mm, torque, number)
        if (travel_mm, torque, number) != (self._travel_mm, self._torque, self._number):
            self._travel_mm, self._torque, self._number, self._there = travel_mm, torque, number, None
            self.moved.emit()

    def _within(self, travel_mm: float) -> float:
        low, high = self.range_mm or (0.0, 0.0)
        return min(max(travel_mm, low), high)

    def _rebuild(self) -> None:
        """Stay within what the build allows; what is only being typed takes the axle along and brings it back."""
        self._there = None
        travel_mm, torque, number = self._asked
        states = self.states
        usable = number < len(states) and states[number].driven_mm is not None
        self._number = number if usable else 0
        self._travel_mm, self._torque = self._within(travel_mm), torque if self.torque_known(torque) else "none"
        if self._document.shown.build is self._document.build:
            self._asked = (self._travel_mm, self._torque, self._number)
        self.rebuilt.emit()
