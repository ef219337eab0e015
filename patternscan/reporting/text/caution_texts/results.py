"""Cautions about a result as a whole: a proof on own photos, photos left out, flanks that do not belong together."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.reporting.text.caution_texts.contact import COLOURS

RESULT_TEXTS: Mapping[str, tuple[str, str]] = {
    "proof-widened": (
        "By what {machines:machines} of your own showed, the ranges were made wider on either side: place along the "
        "face by {along:tenths}, from root to tip by {up:tenths}, part touched by {coverage:tenths}.",
        "Look at the page of the proof for what went wrong on your own photos.",
    ),
    "proof-few": (
        "Your proof has {machines:machines}; it takes nine to tell by how much every range must be wider.",
        "Paint what is true of photos of more machines, and make the proof again.",
    ),
    "proof-missed": (
        "On your own photos the place along the face lay in its range only {right} of {flanks} times "
        "({machines:machines}), and it takes nine machines to set the ranges right.",
        "Go by your own eye. Paint what is true of photos of more machines, and make the proof again.",
    ),
    "proof-outdated": (
        "Your proof was made with another version of the tool ({made_with}).",
        "Make the proof again with this version.",
    ),
    "photo-declined": ("{found}", "{remedy}"),
    "compounds-differ": (
        "The photos show different compounds: {seen}.",
        f"If only one was used, say so with {{at_compound}} ({COLOURS}) and read again.",
    ),
    "media-differ": (
        "Not all flanks were read from the same: {seen}.",
        "Photograph both flanks in the same way; a print on tape or paper is less sure.",
    ),
    "tooth-twice": (
        "One tooth was given more than once ({photos}): it counts as one tooth.",
        "To have more teeth count, mark and photograph others, about a third of a turn apart.",
    ),
    "flank-twice": (
        "The photos {photos} look like one flank of one tooth, photographed twice: the same marks lie at the same "
        "places.",
        "Photograph the other flank of the tooth too, and give each photo as the flank that it shows.",
    ),
    "reference-asked": ("Photos of the reference: {found}", "{remedy}"),
    "reference-untold": (
        "Nothing tells that the reference is of the machine that is judged.",
        "See that it is: held against another machine's print, the answer may be the wrong way round. Give the machine "
        "sheet, with its name, when you judge either.",
    ),
    "taken-apart": (
        "By the camera's clock more than two hours lie between the photos.",
        "See that nothing was changed on the machine in between; if something was, take all photos again.",
    ),
    "wheels-differ": (
        "The gear data on the sheet fit the tooth in {photos}, but not the one in {other_photos}.",
        "Look whether both photos are of this machine, and whether each outline runs along the edges of its flank.",
    ),
    "shapes-differ": (
        "The teeth look like those of two wheels: {left_ratio:tenth} times as wide as high on the left flank, "
        "{right_ratio:tenth} times on the right.",
        "Look whether both photos are of this machine, and whether each outline runs along the edges of its flank.",
    ),
    "hands-differ": (
        "The teeth look like those of a {hand}-hand wheel in {photos}, and like those of a {other_hand}-hand wheel in "
        "{other_photos}.",
        "One photo is mirrored, as some phones do, or shows another wheel: take it again with the ordinary camera.",
    ),
}
"""What is uncertain, and what to do about it, by the code of the caution."""
