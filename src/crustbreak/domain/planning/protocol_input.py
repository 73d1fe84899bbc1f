"""What a lab types of a protocol of its own, and whether cups can be made by it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from crustbreak.core.errors import Problem, told
from crustbreak.domain.brewing.protocols import WHOLE, Protocol, find_faults
from crustbreak.domain.planning.plan_request import as_compared, check_text

# Field of `Protocol`, how the page asks for it, its unit.
FIGURES = (
    ("dose_g", "Dose", "g"),
    ("water_ml", "Water", "ml"),
    ("steep_s", "From pour to break", "s"),
    ("pour_c", "Water at the pour", "\N{DEGREE SIGN}C"),
    ("stirs", "Stirs at the break", "times"),
)
# No file has such an id, so that no protocol that is shipped later is taken for a lab's.
OWN = "own-"
SOURCE = "this house's own"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProtocolDraft:
    """A protocol as typed.

    of:       id of the lab's own that it is a new version of; empty for a new one.
    figures:  field of `Protocol` to what was typed; None where it was no number.
    bowl:     kind of bowl; empty for the lab's.
    """

    of: str
    title: str
    figures: Mapping[str, float | None]
    bowl: str = ""


def check_protocol(
    draft: ProtocolDraft, *, known: Iterable[Protocol], kettle_ml: float
) -> tuple[Problem, ...]:
    """Name everything that keeps a protocol from being kept, by the rules that files keep, too.

    Args:  known: all that there are. kettle_ml: what a full kettle pours, ml.
    """
    every = tuple(known)
    names = {name: f"{title}, {unit}" for name, title, unit in FIGURES} | {"bowl": "Kind of bowl"}
    faults = tuple(
        Problem(where=names[key], rule=rule, found=found, remedy="Type it again.")
        for key, rule, found in find_faults(_definition(draft, id_=OWN, version=1))
        if key in names
    )
    return (
        *_check_of(draft, every),
        *check_text("Title", draft.title, needed=True),
        *_check_title(draft, every),
        *(faults or _check_water(draft, kettle_ml)),
    )


def make_protocol(draft: ProtocolDraft, *, known: Iterable[Protocol]) -> Protocol:
    """Make a protocol of a draft without faults: a new one, or the next version of its own."""
    every = tuple(known)
    last = max((each.version for each in every if each.id == draft.of), default=0)
    count = len({each.id for each in every if each.id.startswith(OWN)})
    return Protocol(**_definition(draft, id_=draft.of or f"{OWN}{count + 1}", version=last + 1))


def offered(known: Iterable[Protocol], *, chosen: str = "") -> tuple[Protocol, ...]:
    """Return the latest version of each protocol, and the one that is chosen, whichever it is."""
    latest: dict[str, Protocol] = {}
    every = tuple(known)
    for each in every:
        if each.id not in latest or each.version > latest[each.id].version:
            latest[each.id] = each
    named = [each for each in every if each.ref == chosen and each not in latest.values()]
    # The lab's own first: they were made to be used.
    return tuple(
        sorted(
            (*latest.values(), *named),
            key=lambda each: (not each.id.startswith(OWN), each.id, each.version),
        )
    )


def is_same(one: Protocol, other: Protocol) -> bool:
    """Return whether two versions say the same."""
    return replace(one, version=other.version) == other


def _definition(draft: ProtocolDraft, *, id_: str, version: int) -> dict[str, Any]:
    figures = {name: _whole(name, draft.figures.get(name)) for name, _, _ in FIGURES}
    said = {"title": draft.title, "source": SOURCE, "bowl": draft.bowl}
    return {"id": id_, "version": version, **said, **figures}


def _whole(name: str, figure: float | None) -> float | None:
    # A form knows no kinds of numbers: 240 and 240.0 are the same seconds.
    is_whole = figure is not None and name in WHOLE and figure.is_integer()
    return int(figure) if is_whole and figure is not None else figure


def _check_of(draft: ProtocolDraft, every: tuple[Protocol, ...]) -> tuple[Problem, ...]:
    own = {each.id for each in every if each.id.startswith(OWN)}
    if not draft.of or draft.of in own:
        return ()
    return (
        Problem(
            where="New version of",
            rule="a protocol of this house's own",
            found=told(draft.of),
            remedy="Add it as a new one: what is shipped is never changed.",
        ),
    )


def _check_title(draft: ProtocolDraft, every: tuple[Protocol, ...]) -> tuple[Problem, ...]:
    titles = {as_compared(each.title) for each in every if each.id != draft.of}
    if as_compared(draft.title) not in titles:
        return ()
    return (
        Problem(
            where="Title",
            rule="each protocol has a title of its own",
            found=f"{told(draft.title)} twice",
            remedy="Tell the two apart; or change the one that is there.",
        ),
    )


def _check_water(draft: ProtocolDraft, kettle_ml: float) -> tuple[Problem, ...]:
    water_ml = draft.figures.get("water_ml") or 0
    if water_ml <= kettle_ml:
        return ()
    return (
        Problem(
            where="Water, ml",
            rule=f"at most {kettle_ml:g} ml, what a full kettle of this house pours",
            found=f"{water_ml:g}",
            remedy="Take less, or say first that the kettle is larger.",
        ),
    )
