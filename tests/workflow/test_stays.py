"""One photo's way goes down through the house once and comes up once."""

from __future__ import annotations

from tests.benchmarks.stays import SAMPLE, rooms_entered


def test_a_photo_enters_each_room_once_but_for_what_rooms_ask_of_the_picture() -> None:
    stays = rooms_entered(SAMPLE)
    assert len(stays) < 25
    assert len(stays) - len(set(stays)) < 10
    assert list(dict.fromkeys(stays)) == [
        "seeing.image",
        "workflow",
        "seeing.geometry",
        "seeing.quality",
        "seeing.segmentation",
        "measuring",
    ]
