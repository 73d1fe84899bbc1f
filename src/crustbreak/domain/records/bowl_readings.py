"""What a thermometer found of a lab's bowls."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredBowl:
    """How fast one kind of bowl loses heat, as it was found or put back.

    kind:         of bowl that it stands for.
    name:         what the lab calls it.
    since:        from when on it holds, UTC.
    readings:     of one pour: since the pour, s, and of the coffee, degrees C; none where the kind
                  was put back to what nobody has measured.
    protocol:     by which that pour was made, as `standard/1`; room_c: of the air, degrees C.
    loss_factor:  losses as a multiple of the model's.
    loss_doubt:   standard deviation of the factor's logarithm.
    """

    kind: str
    name: str
    since: datetime
    readings: tuple[tuple[float, float], ...] = ()
    protocol: str = ""
    room_c: float = 0.0
    loss_factor: float = 1.0
    loss_doubt: float = 0.0

    @property
    def is_measured(self) -> bool:
        """Whether there is anything in it that a thermometer said."""
        return bool(self.readings)
