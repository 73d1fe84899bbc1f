"""Protocols: those that are shipped, and those that a lab adds for itself."""

from collections.abc import Mapping

from crustbreak.core.errors import NotThere, refuse
from crustbreak.domain.brewing.protocols import Protocol
from crustbreak.domain.planning.protocol_input import (
    ProtocolDraft,
    check_protocol,
    is_same,
    make_protocol,
    offered,
)
from crustbreak.ports.documents import OWN_PROTOCOLS
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess, WriteAccess
from crustbreak.services.documents import lab_settings_at, settings_version


def every_protocol(lab: Lab) -> Mapping[str, Protocol]:
    """Return every version of every protocol by `id/version`."""
    own = lab.repository.read(lambda records: _own(lab, records))
    return {**lab.definitions.protocols(), **{each.ref: each for each in own}}


def _own(lab: Lab, records: ReadAccess) -> tuple[Protocol, ...]:
    version = settings_version(records)
    own: tuple[Protocol, ...] | None = lab.cache.recall("own protocols", version)
    if own is None:
        own = records.documents(OWN_PROTOCOLS)
        lab.cache.remember("own protocols", version, own)
    return own


def offered_protocols(lab: Lab, *, chosen: str = "") -> tuple[Protocol, ...]:
    """Return those that a plan offers: the latest of each, the lab's own first.

    And the chosen.
    """
    return offered(every_protocol(lab).values(), chosen=chosen)


def protocol_of(lab: Lab, ref: str) -> Protocol:
    """Return a protocol by `id/version`, or say which there are."""
    protocols = every_protocol(lab)
    if ref in protocols:
        return protocols[ref]
    raise NotThere(f"There is no protocol '{ref}'.", hint=f"Known: {', '.join(sorted(protocols))}.")


def add_protocol(lab: Lab, draft: ProtocolDraft) -> Protocol:
    """Keep a protocol of the lab's own, or a new version of one; what was kept stays as it is.

    Returns:  it, or the version that says the same already.
    Raises:   Unacceptable with every fault.
    """

    def work(records: WriteAccess) -> Protocol:
        # Read where it is written: of two that are saved at once the second sees the first, and
        # takes the next number. Not from the cache, since work before this may yet be undone.
        own = records.documents(OWN_PROTOCOLS)
        known = (*lab.definitions.protocols().values(), *own)
        settings = lab_settings_at(records)
        kettle_ml = settings.kettle_ml - settings.kettle_rest_ml
        refuse("The protocol", check_protocol(draft, known=known, kettle_ml=kettle_ml))
        made = make_protocol(draft, known=known)
        before = next((each for each in known if is_same(each, made)), None)
        if before is None:
            records.add_document(OWN_PROTOCOLS, made, made.id, at=lab.clock.now())
        return before or made

    return lab.repository.write(work)
