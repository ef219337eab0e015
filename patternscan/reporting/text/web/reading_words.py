"""Words of a reading, one thing a screen."""

from __future__ import annotations

from patternscan.frame import Flank

SAFETY_DONE = "All of this is done: begin"
SAFETY_ASKED = "Is the machine safe?"
YOUR_NAME = "Your name"
NAME_WHY = "It stands with the time on the reading and in the machine's log."
NO_NAME = ("The name is missing.", "Write who says that the machine is safe.")

WHICH_MACHINE = "Which machine?"
NO_MACHINE = "None: only this reading"
UNNAMED_MACHINE = "No machine named"
NEW_MACHINE = "A new machine"
MACHINE_NAME = "Its name"
MAKE_MACHINE = "Begin with this machine"

HOW_MARKED = "How were the teeth marked?"
MARKED_TITLES = {"transfer": "Printed", "rub-off": "Rubbed off"}
MARKED_LINES = {
    "transfer": "The worm was painted. Compound on the tooth is where it touched.",
    "rub-off": "The tooth was painted. Bare metal is where it touched.",
}
WRONG_TURNS = "The wrong choice turns the answer round."

PHOTOGRAPHED = "What is photographed"
MEDIA = {
    "flank": "The tooth itself",
    "tape-through": "Tape on white card, seen through the tape",
    "tape-touched": "Tape, the side that touched the tooth",
    "paper-touched": "Paper, the side that touched the tooth",
    "paper-through": "Paper, the compound seen through it",
}
SIDE_TURNS = "The wrong side of tape or paper turns the answer round."
PRINT_LINES = (
    "A thin dark line is drawn round the flank's edges, all the way, and the letter A is written beside end A.",
    "Lay the card or paper flat and look straight onto it, the tip of the tooth up. No shadow on it.",
)
PHOTO_BUTTON = "Take or choose the photo"
PHOTO_LINES = (
    "The tip of the tooth points up, the whole flank and the painted A are in the picture.",
    "Look straight onto the flank. Lamp well to the side, no flash.",
)
OTHER_TEETH = "Go on without a further tooth"
SEND_PHOTO = "Send"
SENDING = "Sending"
SEND_BROKE = "No connection. It goes on by itself as soon as there is one."
SENT = "Sent. One moment."
SAME_PHOTO = (
    "This is the very photo that was already taken of the other flank.",
    "Photograph the other flank of the tooth.",
)
NO_PHOTO = ("No photo came with it.", "Take or choose one.")
NOT_WHOLE = ("The photo did not come whole.", "Choose it once more: it goes on where it broke off.")

LOOKING = "Looking at the photo"
LOOKING_FOR = "Looking for the flank. You may lock the phone or leave: it goes on."
STAGES = {
    "finding": "Looking for the flank.",
    "measuring": "Measuring the contact.",
    "comparing": "Comparing both flanks.",
    "drawing": "Drawing the pictures.",
}
JUDGING = "Working out the answer"
JUDGING_FOR = "Both flanks are measured and compared. You may lock the phone or leave: it goes on."

UNUSABLE = "This photo cannot be used"
NOT_FOUND = "Where is the flank?"
FLANK_HOW = "Is the yellow line on all four edges of the flank, with TIP at the top of the tooth?"
LINE_WRONG = "The line is not on the flank:"
NOT_FOUND_HOW = (
    "The tool is not sure of the flank in this photo. If you see its edges well, set its four corners. If the tooth is "
    "dark, blurred or small, take it again: nearer, and with light on the tooth."
)
CORNERS = "Move the corners"
OTHER_TOOTH = "Another tooth"
TOUCH_TOOTH = "Touch the tooth that is meant"
TOUCH_TOOTH_HOW = "Touch the middle of the marked flank."
AGAIN = "Take it again"
TURNED = "Where does the tip point in the picture?"
SIDES = {"up": "Up", "down": "Down", "left": "Left", "right": "Right"}
TIP = "TIP"
FAULTS = {False: "Before you go on", True: "Better with another photo"}
"""Above what was found, by whether another photo cures it."""

PRINT_HOW = "Is the yellow line on the drawn frame all round, with TIP where the tip of the tooth was?"
TOUCH_A = "Touch the painted A"
TOUCH_WRITTEN_A = "Touch the written A"
TOUCH_A_HOW = "Then touch the letter A in the photo: it settles which flank this is."
A_OUTSIDE = "The A is not in the picture:"
BEYOND = {
    "left": "It is beyond the left",
    "right": "It is beyond the right",
    "up": "It is above",
    "down": "It is below",
}
A_IN_THE_MIDDLE = (
    "That is in the middle of the tooth.",
    "The A is painted on an end face: touch it beside one of the two ends.",
)
TOUCH_KEYS = "With keys: arrows move the cross, Enter takes it."
TAKE_OUTLINE = "Take this outline"
OUTLINE_NOT_TAKEN = "The outline was not taken."

MORE_TITLE = "Both flanks are in"
MORE_TEETH = {flank.value: f"One more {flank} flank" for flank in Flank}
MORE_WHY = "More teeth make it surer: three or four around the wheel."
ANSWER = "Show the answer"
NO_ANSWER = "There is no answer to these photos"
CHANGE_PHOTOS = "Change the photos"
MORE_OR_OTHERS = "One more tooth, or another photo"

THROW_AWAY = "Throw it away"
THROW_ASKED = "Throw this reading away?"
THROW_HOW = "It goes off every list. The photos stay in its folder, and the log of the machine stays as it is."
THROW_NOT = "No, go on with it"


def photos_words(count: int) -> str:
    """How many photos there are."""
    return f"{count or 'No'} photo{'' if count == 1 else 's'}."


def photo_title(flank: Flank, teeth: int) -> str:
    """The flank that is wanted now, of a further tooth after the first."""
    return f"Photo of the {flank.value.upper()} flank" + (f", tooth {teeth + 1}" if teeth else "")


def photo_name(flank: Flank, number: int) -> str:
    """A photo in a list."""
    return f"{flank.value.capitalize()} flank, photo {number}"


def queue_words(before: int) -> str:
    """How many photos are read before this one."""
    return "It comes next." if not before else f"{before} before it."


def progress_words(stage: str, done: float) -> str:
    """How far a longer piece of work is, and what is being done."""
    return f"{done:.0%} done. {STAGES[stage]}"


def other_flank_lines(asked: Flank, told: Flank, mirrored: bool) -> tuple[str, str]:
    """What to say where the A tells the other flank than the one that was asked for; ``mirrored`` as in a mirror."""
    side = "left" if (told is Flank.RIGHT) is not mirrored else "right"
    return (
        f"This is the {told.value.upper()} flank",
        f"The {asked.value} flank was asked for. With the tip turned up, this photo has the A on the {side}: so a "
        f"{told.value} flank looks{MIRRORED if mirrored else ''}.",
    )


MIRRORED = " seen in a mirror, as on the side that touched the tooth"


def keep_as(flank: Flank) -> str:
    """The button that takes the photo as what it shows."""
    return f"Yes, it is the {flank.value} flank"


TOUCH_AGAIN = "Touch the A again"
SAVE_ANSWER = "Save to send it"
COMPARE_LAST = "Compare with the last one that counts ({at})"
ADD_TO_JOB = "Add to the job"
IN_THE_JOB = "In the job as entry {number}"
GONE = "Do not go by this answer. Entry {number} of the job: {gone}."
OPEN_JOB = "Open the job"
ASK_OPINION = "Ask for an opinion"
WAITS = "Waits for an opinion"
OCCASION = "What was it taken for?"
OCCASIONS = {"trial": "A trial of this job", "as-found": "The old wheel as found", "maker": "The maker's own print"}
KEPT_SAFE = "{by} said at {at} that the machine is safe."
