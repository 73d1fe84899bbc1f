"""What a thermometer says of a lab's bowls: kept with its date, and put back when it is wrong."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from crustbreak.analysis.forecast import as_poured, bowl_of, first_round_of, room_of
from crustbreak.core.errors import NotThere, refuse
from crustbreak.core.units import TASTE_BELOW_C
from crustbreak.domain.brewing.bowls import BOWLS
from crustbreak.domain.brewing.calibration import TemperatureReading, calibrate
from crustbreak.domain.brewing.cooling import Due, time_to
from crustbreak.domain.brewing.protocols import Protocol
from crustbreak.domain.planning.thermometer_input import BowlDraft, check_bowl
from crustbreak.domain.records.bowl_readings import MeasuredBowl
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.recipes import Recipe
from crustbreak.ports.documents import MEASURED_BOWLS
from crustbreak.ports.lab import Lab
from crustbreak.services.documents import settings_version
from crustbreak.services.lab.protocols import every_protocol, protocol_of
from crustbreak.services.lab.settings import lab_settings_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstRound:
    """When a bowl of the lab's protocol may be tasted, s from its pour.

    from_s:  suggested, when 19 bowls in 20 are cool enough.
    cool:    early, most likely and late.
    """

    from_s: int
    cool: Due


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownBowl:
    """What is known of one kind of bowl.

    found:   what was kept of it, the last one last.
    before:  the first round before the last of these, None where nothing was kept.
    now:     as it stands.
    """

    kind: str
    found: tuple[MeasuredBowl, ...]
    before: FirstRound | None
    now: FirstRound

    @property
    def measured(self) -> MeasuredBowl | None:
        """What holds now; None where the kind is as nobody has measured it."""
        return next((each for each in self.found[-1:] if each.is_measured), None)


def measure_bowl(lab: Lab, draft: BowlDraft) -> MeasuredBowl:
    """Keep what one or two readings say of a kind of bowl, for all tables planned from now on.

    It begins from what is known of that kind: an earlier measurement still counts.

    Raises:  Unacceptable with every fault, and for readings that no such bowl could give.
    """
    kinds, protocols = [bowl.kind for bowl in BOWLS], every_protocol(lab)
    refuse("The reading", check_bowl(draft, kinds=kinds, protocols=protocols))
    room_c = draft.room_c or 0.0
    lab_settings = _with(lab_settings_of(lab), draft.kind, _last(_bowls(lab), draft.kind))
    recipe = as_poured(lab_settings, _poured_by(protocols[draft.protocol], lab_settings))
    measured = calibrate(
        bowl_of(lab_settings),
        room_of(replace(lab_settings, room_c=room_c)),
        recipe=recipe,
        readings=tuple(TemperatureReading(at_s=at_s, temperature_c=c) for at_s, c in draft.read),
    )
    return _keep(
        lab,
        MeasuredBowl(
            kind=draft.kind,
            name=draft.name or draft.kind,
            since=lab.clock.now(),
            readings=draft.read,
            protocol=draft.protocol,
            room_c=room_c,
            loss_factor=measured.loss_factor,
            loss_doubt=measured.loss_doubt,
        ),
    )


def put_bowl_back(lab: Lab, kind: str) -> None:
    """Let a kind of bowl be as nobody has measured it; what was kept stays.

    Raises:  NotThere for a kind that is none.
    """
    if kind not in {bowl.kind for bowl in BOWLS}:
        raise NotThere(f"There is no kind of bowl '{kind}'.", hint="Choose one of the list.")
    last = _last(_bowls(lab), kind)
    if last is not None and last.is_measured:
        _keep(lab, MeasuredBowl(kind=kind, name=kind, since=lab.clock.now()))


def known_bowls(lab: Lab) -> tuple[KnownBowl, ...]:
    """Return what is known of each kind, the one that the lab tastes from first."""
    version = lab.repository.read(settings_version)
    known: tuple[KnownBowl, ...] | None = lab.cache.recall("known bowls", version)
    if known is None:
        known = _work_out(lab)
        lab.cache.remember("known bowls", version, known)
    return known


def _work_out(lab: Lab) -> tuple[KnownBowl, ...]:
    lab_settings, every = lab_settings_of(lab), _bowls(lab)
    protocol = protocol_of(lab, lab_settings.protocol)

    def first_round(kind: str, found: MeasuredBowl | None) -> FirstRound:
        of_kind = _with(lab_settings, kind, found)
        recipe = _poured_by(protocol, lab_settings)
        poured = as_poured(of_kind, recipe)
        cool = time_to(
            bowl_of(of_kind), room_of(of_kind), recipe=poured, temperature_c=TASTE_BELOW_C
        )
        return FirstRound(from_s=first_round_of(of_kind, recipe), cool=cool)

    kinds = sorted((bowl.kind for bowl in BOWLS), key=lambda kind: kind != lab_settings.bowl)
    return tuple(_known(kind, every, first_round) for kind in kinds)


def _known(
    kind: str,
    every: tuple[MeasuredBowl, ...],
    first_round: Callable[[str, MeasuredBowl | None], FirstRound],
) -> KnownBowl:
    found = tuple(each for each in every if each.kind == kind)
    return KnownBowl(
        kind=kind,
        found=found,
        before=first_round(kind, _last(found[:-1], kind)) if found else None,
        now=first_round(kind, _last(found, kind)),
    )


def _poured_by(protocol: Protocol, lab_settings: LabSettings) -> Recipe:
    """Return a recipe into the bowl that is looked at, whichever the protocol names."""
    return replace(protocol.recipe(pace_s=int(lab_settings.pace_s)), bowl="")


def _bowls(lab: Lab) -> tuple[MeasuredBowl, ...]:
    return lab.repository.read(lambda records: records.documents(MEASURED_BOWLS))


def _last(every: tuple[MeasuredBowl, ...], kind: str) -> MeasuredBowl | None:
    return next((each for each in reversed(every) if each.kind == kind), None)


def _with(lab_settings: LabSettings, kind: str, found: MeasuredBowl | None) -> LabSettings:
    return replace(
        lab_settings, bowl=kind, measured=(found,) if found and found.is_measured else ()
    )


def _keep(lab: Lab, bowl: MeasuredBowl) -> MeasuredBowl:
    lab.repository.write(
        lambda records: records.add_document(MEASURED_BOWLS, bowl, bowl.kind, at=bowl.since)
    )
    return bowl
