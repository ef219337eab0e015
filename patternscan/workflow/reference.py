"""The reference print that a judgement may be held against instead of the middle of the flanks."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.judging.comparison import Target
from patternscan.judging.states.comparability import one_machine, refuse_strangers, shared_photo
from patternscan.judging.states.judged_state import Identity, JudgedState, ToldCaution
from patternscan.measuring.interval import Interval
from patternscan.plain_text import one_line
from patternscan.reporting.kept.judgement import read_judgement
from patternscan.reporting.text.wording import gone_words


@dataclass(frozen=True, slots=True)
class Reference:
    """A judgement of the maker's or the as-found print: where its pattern lies, whose it is, what was asked of it."""

    target: Target
    identity: Identity
    asked: tuple[ToldCaution, ...] = ()


def load_reference(path: Path, target_on_sheet: Target) -> Reference:
    """The reference from a judgement's file or folder.

    Raises WrongUse when the sheet has a target too, InconsistentInputs when the reference does not show enough.
    """
    if target_on_sheet != Target():
        raise WrongUse(
            "Both a reference and the [target] of the machine sheet say where the pattern should lie.",
            "Leave out --reference, or take [target] out of the sheet.",
        )
    state = read_judgement(path)
    if state.gone is not None:
        raise InconsistentInputs(
            f"The reference counts no more in its job (entry {state.gone.entry}: {gone_words(state.gone.answer)}).",
            "Give a judgement that counts, or leave out --reference.",
        )
    return Reference(_target(state, path), state.identity, state.asked)


def refuse_foreign(reference: Reference, judged: Identity) -> None:
    """Raise InconsistentInputs for another wheel's reference, and for one that rests on the photos to be judged."""
    refuse_strangers(reference.identity, judged)
    shared = shared_photo(reference.identity, judged)
    if shared is not None:
        raise InconsistentInputs(
            f"A photo to be judged is also one of the reference's own: {shared}.",
            "Either the reference is the judgement of this very print, or an old photo was given: check both.",
        )


def reference_cautions(reference: Reference, judged: Identity) -> Iterator[Caution]:
    """What was asked of the reference, and a doubt where nothing tells that it is of the machine that is judged."""
    for one in reference.asked:
        yield caution("reference-asked", found=one.message, remedy=one.remedy)
    if not one_machine(reference.identity, judged):
        yield caution("reference-untold")


def _target(state: JudgedState, path: Path) -> Target:
    """Where the pattern of the reference lies, with its doubt."""
    if state.left is None or state.right is None or state.grave_cautions:
        why = "does not show both flanks" if not state.grave_cautions else "rests on a photo that is too poor"
        raise InconsistentInputs(f"The reference {path.name} {why}.", "Give a judgement of both flanks, well seen.")
    left, right = state.left.along, state.right.along
    return Target(left.value, right.value, _longer_side(left), _longer_side(right), _name(path))


def _longer_side(interval: Interval) -> float:
    return max(interval.value - interval.low, interval.high - interval.value)


def _name(path: Path) -> str:
    """The reference as a report names it, with the folder that tells judgements of the same file name apart."""
    folder = path.resolve().parent.name
    name = f"{folder}/{path.name}" if path.name == "judgement.json" and folder else path.resolve().name
    return one_line(os.fsencode(name).decode("utf-8", "replace"))
