"""How the photos of a list are to be read, by their sheet and marking."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from patternscan.errors import WrongUse
from patternscan.workflow.inputs.photo_list import ListedPhoto
from patternscan.workflow.inputs.settings import ReadingSettings, SettingsRequest, load_settings


class SettingsBySheet:
    """What holds for the photos of one sheet and marking, loaded once for each."""

    def __init__(self, request: SettingsRequest) -> None:
        self._request = request
        self._loaded: dict[SettingsRequest, ReadingSettings] = {}

    def of(self, photos: Sequence[ListedPhoto]) -> ReadingSettings:
        """The settings of photos that go together; the list goes before the request. Raises WrongUse, among others."""
        wanted = {self._wanted(one) for one in photos}
        if len(wanted) > 1:
            raise WrongUse(
                "The list names different sheets or markings for photos of one machine.",
                "Give each line of a machine the same sheet and marking.",
            )
        (request,) = wanted
        if request not in self._loaded:
            self._loaded[request] = load_settings(request)
        return self._loaded[request]

    def _wanted(self, photo: ListedPhoto) -> SettingsRequest:
        given = self._request
        return replace(given, marking=photo.marking or given.marking, sheet=photo.sheet or given.sheet)
