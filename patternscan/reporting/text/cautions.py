"""Cautions as a mechanic reads them: what is uncertain, on which flank and photo, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patternscan.cautions import Caution
from patternscan.frame import Compound
from patternscan.reporting.text.state_cautions import STATE_TEXTS
from patternscan.reporting.text.wording import as_markdown, filled

WHOLE_TOOTH = "Step back or turn the camera until the whole tooth with both ends is in the picture."
CLOSER = "Go closer until the tooth fills most of the picture; do not use the digital zoom."
MORE_SQUARE = "Stand more square to the flank, level with the middle of the tooth."
HOLD_STILL = "Hold still, tap on the tooth to focus, and give more light."
MOVE_LAMP = "Move the lamp to the side, or hang a white cloth before it."
MORE_LIGHT = "Light the tooth with a lamp from the side."
WHOLE_FLANK = "Turn the wheel a little or move the camera until the whole flank is seen, and take the photo again."
WHICH_SIDE = (
    "Look which side is up: said wrongly, the answer is the wrong way round. A printed card with tags settles it."
)
CLEAR_FRONT = "Take away what is in front (a hand, a rag, a cover) or turn the wheel, and take the photo again."
MARK_IT = "Look at the drawn outline. If it is not on the edges of the flank, mark it {at_outline}."
CHECK_SHEET = (
    "Look whether the sheet is this machine's; check its module, worm diameter, pressure angle, face width and hand, "
    "and whether the four edges of the outline are the flank's own."
)
PLAIN_PHOTO = (
    "Look at the drawn contact. Take the photo in daylight without glare, or use a compound of another colour."
)
THINNER = "Paint the worm thinner and print again."
PAINT_AGAIN = "Paint the flank again, evenly and thinly."
TURN_MORE = "Turn the worm under light drag through full mesh, both ways, and take the photo again."
COLOURS = ", ".join(Compound)
FROM_OUTLINE = "Places were worked out from the outline, without the gear data."

TEXTS: Mapping[str, tuple[str, str]] = {
    "cut-off": ("Part of the flank lies outside the photo.", WHOLE_TOOTH),
    "much-cut-off": ("{share:percent} of the flank lies outside the photo.", WHOLE_TOOTH),
    "small": ("The flank is small in the photo: {width_px} by {height_px} pixels.", CLOSER),
    "too-small": ("The flank is too small in the photo: {width_px} by {height_px} pixels.", CLOSER),
    "oblique": ("The flank is seen at a slant, so that part of it is squeezed together in the photo.", MORE_SQUARE),
    "too-oblique": ("The flank is seen nearly edge-on.", MORE_SQUARE),
    "blurred": ("The flank is out of focus or shaken.", HOLD_STILL),
    "too-blurred": ("The flank is far out of focus or badly shaken.", HOLD_STILL),
    "too-bright": (
        "The flank is overexposed: its brightest parts have lost their colour.",
        "Turn the flash off or move the lamp away, or tap on the tooth so that the camera darkens the picture.",
    ),
    "glare": ("Glare from the lamp lies on {share:percent} of the flank.", MOVE_LAMP),
    "much-glare": ("Glare from the lamp hides {share:percent} of the flank.", MOVE_LAMP),
    "too-dark": ("The flank is dark in the photo.", MORE_LIGHT),
    "far-too-dark": ("The flank is far too dark in the photo.", MORE_LIGHT),
    "behind-next-tooth": (
        "{share:percent} of the flank was not judged: the next tooth stands in front of it.",
        WHOLE_FLANK,
    ),
    "turned-away": ("{share:percent} of the flank was not judged: it is turned away from the camera.", WHOLE_FLANK),
    "left-out": (
        "{share:percent} of the flank was not judged: it lies outside the outline as it was marked.",
        WHOLE_FLANK,
    ),
    "covered": ("Something covers {share:percent} of the flank.", CLEAR_FRONT),
    "much-covered": ("Something covers {share:percent} of the flank, too much to judge by the rest.", CLEAR_FRONT),
    "little-judged": (
        "Only {share:percent} of the flank could be judged.",
        "Take the photo again so that the whole flank is seen without shine or deep shade.",
    ),
    "outline-found": ("The outline was found by the tool, not marked by a person.", MARK_IT),
    "outline-found-unsure": (
        "The outline was found by the tool, not marked by a person, and the tool is not sure of it.",
        MARK_IT,
    ),
    "outline-fitted": (
        "The outline was pulled onto the edges in the photo, by at most {share:tenths} of the face width.",
        "Look at the drawn outline. If it left the edges of the flank, mark more points where they bend, and read it "
        "again as it is marked.",
    ),
    "outline-not-fitted": (
        "The outline was left as it was given: there are no clear edges of such a flank near it.",
        "Look at the drawn outline. Mark the edges again, with more points where they bend.",
    ),
    "outline-bent": (
        "Only the corners of the flank were marked, and no clear edges are near: they were bent as on a usual wheel.",
        "Look at the drawn outline. Mark points along the root and tip edges too, where they bend.",
    ),
    "outline-rough": (
        "The outline is off the edges that the gear data give, by {misfit:tenths} of the face width overall.",
        "Look at the drawn outline, above all where an edge is hidden or cut off, and at the gear data on the sheet.",
    ),
    "end-unseen": (
        "By the gear data the flank goes on beyond the outline at end {end}, where something hides it or the outline "
        "stops short. Places were worked out from the other edges.",
        "Look whether end {end} is seen in the photo, and at the face width on the sheet. Take the photo again with "
        "both ends in view.",
    ),
    "end-off-edges": (
        "No edge of the tooth is seen in the photo where the outline has end {end}.",
        "Look whether the outline stops right at the end of the flank there, and mark it again if not. If that end is "
        "hidden or dark, take the photo again with both ends seen.",
    ),
    "end-off-shape": (
        "By the shape of the tooth the flank does not stop where the outline has end {end}.",
        "Look whether the outline stops right at the end of the flank there, not short of it nor on something beyond, "
        "and mark it again if not.",
    ),
    "height-off-shape": (
        "By the shape of the tooth its {edge} is not where the outline has it: how high the pattern lies and how much "
        "is touched are less sure.",
        "Look whether the outline runs along the {edge} of the flank, and mark it again if not.",
    ),
    "gear-data-unlike": (
        "The outline does not fit a flank with these gear data: {misfit:tenths} of the face width lies between them. "
        f"{FROM_OUTLINE}",
        CHECK_SHEET,
    ),
    "gear-data-no-view": (f"The outline does not fit a flank with these gear data. {FROM_OUTLINE}", CHECK_SHEET),
    "gear-data-impossible": (f"{{found}} {FROM_OUTLINE}", "{remedy}"),
    "other-rim-seen": (
        "The rim of the wheel was taken as {told}, but the tooth in the photo looks like one with a {seen} rim. Places "
        "were worked out for a {seen} rim.",
        'Look at the rim. If it is {seen}, write rim = "{seen}" under [gear] on the sheet; else check the outline.',
    ),
    "outline-unlike": (
        "The outline has not the shape of a tooth of a worm wheel. Places were worked out between its edges as they "
        "were marked.",
        "Look whether each edge of the outline lies on an edge of the flank, all along, and mark it again where not.",
    ),
    "other-hand-seen": (
        "The sheet says {told} hand, but the tooth in the photo looks like one of a {seen}-hand wheel. " + FROM_OUTLINE,
        "Check the hand on the sheet. If it is right, the photo is mirrored: take it again, and look for the painted "
        "letter A.",
    ),
    "tape-touched": (
        "The tape is said to show the side that touched the tooth; stuck on a card it is seen through.",
        WHICH_SIDE,
    ),
    "paper-through": (
        "The paper is said to be seen through; as a rule it shows the side that touched the tooth.",
        WHICH_SIDE,
    ),
    "lifted": (
        "Read from the print on {medium}, in the frame that was drawn round it: less sure than the flank itself.",
        "Look whether the frame runs along the edges of the flank, and keep the lift.",
    ),
    "lift-faint": (
        "So little compound came off the flank that it is hard to see where it ends.",
        "Press harder, with fresh tape or paper, or photograph the flank itself.",
    ),
    "weak-contrast": ("In this photo it is hard to see where the compound ends and bare metal begins.", PLAIN_PHOTO),
    "contact-unclear": (
        "In this photo it is not plain which part of the flank is the compound and which is bare metal.",
        PLAIN_PHOTO,
    ),
    "compound-uncertain": (
        "The compound looks {seen}, but could be {rival}.",
        f"Name the colour with {{at_compound}} ({COLOURS}) and read the photo again.",
    ),
    "compound-unlike": (
        "You said {told}, but the compound looks {seen}.",
        "Check the colour, or leave {at_compound} unsaid and read the photo again.",
    ),
    "bare-metal": (
        "What looks like {compound} compound may be bare metal mirrored in the next tooth.",
        "Check that this is the marked flank; if it is, use a compound of another colour, such as blue.",
    ),
    "tiny-print": (
        "What looks like compound covers only {share:percent} of the flank: it may be a smear or a reflection.",
        "Check that this is the marked flank, or paint the worm a little thicker and print again.",
    ),
    "marking-doubtful": (
        "The flank looks {seen:marked}, not {told:marked}.",
        "Find out which was painted, the worm or the teeth. If the flank was {seen:marked}, say so {at_marking:{seen}} "
        "and read it again: the wrong way turns the answer round. If not, clean it and mark it again.",
    ),
    "two-places": (
        "Contact shows at two places, {along:percent} and {other:percent} of the face width from end A. The place "
        "given is the middle of both; if only one of them is true contact, it is the right answer.",
        "Look at the drawn contact. A smear, a reflection, or lines that the brush left bare are no contact: if one of "
        "the two may be such, clean the flank, mark it again and take the photo again.",
    ),
    "thick-coat": ("{share:percent} of the flank is marked: its place says little.", THINNER),
    "marked-all-over": (
        "{share:percent} of the flank is marked: its place says next to nothing.",
        THINNER,
    ),
    "rubbed-all-over": ("{share:percent} of the flank is rubbed bare: its place says little.", PAINT_AGAIN),
    "rubbed-bare": ("{share:percent} of the flank is rubbed bare: its place says next to nothing.", PAINT_AGAIN),
    "no-contact": ("Compound was found, but no contact.", TURN_MORE),
    "hardly-rubbed": ("Hardly any paint was rubbed off: only {share:percent} of the flank looks bare.", TURN_MORE),
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
    "wheels-differ": (
        "The gear data on the sheet fit the tooth in {photos}, but not the one in {other_photos}.",
        "Look whether both photos are of this machine, and whether each outline runs along the edges of its flank.",
    ),
    "hands-differ": (
        "The teeth look like those of a {hand}-hand wheel in {photos}, and like those of a {other_hand}-hand wheel in "
        "{other_photos}.",
        "One photo is mirrored, as some phones do, or shows another wheel: take it again with the ordinary camera.",
    ),
    **STATE_TEXTS,
}
"""What is uncertain, and what to do about it, by the code of the caution."""


def caution_sentence(caution: Caution) -> str:
    """What is uncertain, where the heading already names flank and photo."""
    return filled(TEXTS[caution.code][0], caution)


def caution_message(caution: Caution) -> str:
    """What is uncertain, flank and photo named first."""
    return _named([caution], caution_sentence(caution))


def left_out_sentence(caution: Caution) -> str:
    """Why a photo was left out where other teeth of the same flank were judged."""
    return f"{caution_sentence(caution)} The other teeth of this flank were judged without it."


def caution_remedy(caution: Caution) -> str:
    """What to do about it."""
    return filled(TEXTS[caution.code][1], caution)


def caution_messages(cautions: Sequence[Caution]) -> dict[str, str]:
    """Messages with their remedies. What holds of several photos is told once, all of them named."""
    same: dict[tuple[str, str], list[Caution]] = {}
    for caution in cautions:
        same.setdefault((caution_sentence(caution), caution_remedy(caution)), []).append(caution)
    return {_named(ones, sentence): remedy for (sentence, remedy), ones in same.items()}


def caution_lines(cautions: Sequence[Caution]) -> list[str]:
    """Doubts with what to do about them, those that forbid a direction first."""
    told = caution_messages(sorted(cautions, key=lambda caution: not caution.grave))
    return [f"{as_markdown(message)} **Do:** {as_markdown(remedy)}" for message, remedy in told.items()]


def _named(cautions: Sequence[Caution], sentence: str) -> str:
    """The sentence after the flanks and photos that it is about."""
    places = "; ".join(dict.fromkeys(place for caution in cautions if (place := _place(caution, sentence))))
    return f"{places[0].upper()}{places[1:]}: {sentence}" if places else sentence


def _place(caution: Caution, sentence: str) -> str:
    """Flank and photo; a photo that the sentence itself names is not named twice."""
    flank = f"{caution.flank} flank" if caution.flank is not None else ""
    photo = "" if caution.photo is None or caution.photo in sentence else caution.photo
    return ", ".join(part for part in (flank, photo) if part)
