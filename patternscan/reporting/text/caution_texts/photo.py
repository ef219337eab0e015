"""Cautions about the photo, and about what stands before the flank in it."""

from __future__ import annotations

from collections.abc import Mapping

WHOLE_TOOTH = "Step back or turn the camera until the whole tooth with both ends is in the picture."
CLOSER = "Go closer until the tooth fills most of the picture; do not use the digital zoom."
MORE_SQUARE = "Stand more square to the flank, level with the middle of the tooth."
HOLD_STILL = "Hold still, tap on the tooth to focus, and give more light."
MOVE_LAMP = "Move the lamp to the side, or hang a white cloth before it."
MORE_LIGHT = "Light the tooth with a lamp from the side."
WHOLE_FLANK = "Turn the wheel a little or move the camera until the whole flank is seen, and take the photo again."
CLEAR_FRONT = "Take away what is in front (a hand, a rag, a cover) or turn the wheel, and take the photo again."
OTHER_COPY = "If it is all in the picture, the outline lies wrong: mark it anew on this very photo."

PHOTO_TEXTS: Mapping[str, tuple[str, str]] = {
    "cut-off": ("Part of the flank lies outside the photo.", WHOLE_TOOTH),
    "much-cut-off": ("{share:percent} of the flank lies outside the photo.", f"{WHOLE_TOOTH} {OTHER_COPY}"),
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
}
"""What is uncertain, and what to do about it, by the code of the caution."""
