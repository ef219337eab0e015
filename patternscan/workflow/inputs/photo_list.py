"""The list of many photos: found in a folder, or read from a small CSV file that a person may fill in."""

from __future__ import annotations

import csv
import difflib
import io
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.errors import PatternscanError, UnreadablePhoto, WrongUse
from patternscan.frame import Flank, Marking, Medium, Seen
from patternscan.plain_text import letters_of, one_line, printable, shortened
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD, read_outline_file
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.text_file import text_bytes
from patternscan.workflow.disk.spreadsheet import FORMULA_SIGNS, CsvStyle, csv_bytes, harmless

COLUMNS = ("photo", "flank", "outline", "tip", "machine", "sheet", "marking", "medium", "seen")
"""Columns of a list; all but the first may be left out or left empty."""
RECORD = "record.json"
"""A folder with a file of this name holds the result of an earlier run."""
SAVED_AGAIN = re.compile(r"\.outline[ -]?(\(\d+\)|\d+)\.json")
"""How browsers end the name of a file that they save a second time: "left.outline (1).json", "left.outline-2.json"."""
IGNORED = "note"
"""A column for a person's own words."""
WORDS = {
    "flank": tuple(flank.value for flank in Flank),
    "tip": tuple(side.value for side in PictureSide),
    "marking": tuple(marking.value for marking in Marking),
    "medium": tuple(medium.value for medium in Medium),
    "seen": tuple(seen.value for seen in Seen),
}
"""What may stand in a column that takes no free text."""
PHOTO_ENDINGS = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".avif", ".heic", ".heif"}
OWN_ENDINGS = (
    *(".annotated.jpg", ".check.png", ".flat.jpg", ".contact.png", ".close_up.jpg"),
    *("both_flanks.png", "left_change.png", "right_change.png", "prediction.png"),
)
"""Pictures that this tool writes; they are no photos."""


@dataclass(frozen=True, slots=True)
class ListedPhoto:
    """One photo of many. ``name`` is how the list calls it; what is None or empty is not said. ``told``: what was
    photographed.

    ``by_folder`` is set when the machine goes by the name of the photo's folder, which is a label and no proof.
    """

    name: str
    photo: Path
    flank: Flank | None = None
    outline: Path | None = None
    tip: PictureSide | None = None
    machine: str = ""
    sheet: Path | None = None
    marking: Marking | None = None
    told: ToldMedium = NOTHING_TOLD
    by_folder: bool = False


def find_photos(folder: Path, passed_over: Path | None = None) -> list[ListedPhoto]:
    """Every photo in a folder and the folders in it, by name; ``passed_over`` is the folder for results.

    Folders that hold a result of an earlier run are passed over too. Outlines are taken from beside the photos, and
    the folder of a photo names the machine. Raises UnreadablePhoto when there is no photo, or the
    folder may not be opened.
    """
    _refuse_closed(folder)
    aside = None if passed_over is None else passed_over.resolve()
    photos: list[Path] = []
    for place, inner, names in os.walk(folder):
        inner[:] = sorted(name for name in inner if name[0] != "." and Path(place, name).resolve() != aside)
        if RECORD not in names:
            photos.extend(Path(place, name) for name in sorted(names) if _is_photo(name))
    if not photos:
        raise UnreadablePhoto(f"There is no photo in {folder}.", "Give the folder that holds the photos.")
    machines = {place: _folder_name(place) for place in {photo.parent for photo in photos}}
    return [
        ListedPhoto(
            name=_readable(photo.relative_to(folder)),
            photo=photo,
            outline=_outline_beside(photo),
            machine=machines[photo.parent],
            by_folder=True,
        )
        for photo in photos
    ]


def holds_photos(folder: Path) -> bool:
    """Whether photos, and no pictures of a result, lie in a folder itself."""
    with suppress(OSError):
        return any(_is_photo(one.name) for one in folder.iterdir())
    return False


def _refuse_closed(folder: Path) -> None:
    """Raise UnreadablePhoto for a folder that may not be looked into, which would else look empty."""
    try:
        os.listdir(folder)
    except PermissionError as error:
        raise UnreadablePhoto(f"The folder {folder} may not be opened by you.", "Change who may read it.") from error


def read_list(path: Path) -> list[ListedPhoto]:
    """Read a list; files are looked for from the folder it lies in. Every fault is named at once. Raises WrongUse."""
    lines = _lines(path)
    header = [cell.strip().casefold() for cell in lines[0][1]] if lines else []
    faults = [*_header_faults(header)]
    faults += [
        f"line {number} has more cells than the first line" for number, cells in lines[1:] if any(cells[len(header) :])
    ]
    rows = [(number, dict(zip(header, (cell.strip() for cell in cells), strict=False))) for number, cells in lines[1:]]
    faults += [fault for number, row in rows for fault in _row_faults(number, row)] if not faults else []
    if not faults and not rows:
        faults = ["it names no photo"]
    if faults:
        raise WrongUse(f"The list {path.name} has faults: {'; '.join(faults)}.", "Correct the list.")
    return [_entry(row, path.parent) for _, row in rows]


def list_bytes(entries: Iterable[ListedPhoto], folder: Path, style: CsvStyle = CsvStyle.POINT) -> bytes:
    """The list as a CSV file that is to lie in ``folder``."""
    lines: list[Sequence[str]] = [COLUMNS]
    for one in entries:
        paths = {"photo": one.photo, "outline": one.outline, "sheet": one.sheet}
        cells = {name: "" if path is None else _path_from(path, folder) for name, path in paths.items()}
        cells |= {"flank": one.flank or "", "tip": one.tip or "", "marking": one.marking or ""}
        cells |= {"medium": one.told.medium or "", "seen": one.told.seen or ""}
        cells |= {"machine": harmless(one.machine)}
        lines.append([cells[name] for name in COLUMNS])
    return csv_bytes(lines, style)


def with_flanks(entry: ListedPhoto, flank: Flank | None = None) -> tuple[ListedPhoto, ...]:
    """The entry with its flank: as the list says, else ``flank``, else as its outline file says (which may be both).

    The name of the photo is no witness. Raises WrongUse when nobody says it, NoTrustworthyOutline for a bad outline.
    """
    said = entry.flank or flank
    if said is not None:
        return (replace(entry, flank=said),)
    if entry.outline is None:
        raise WrongUse(
            "It is not said which flank the photo shows.",
            "Fill in the column 'flank' of the list and give that list, or lay an outline file beside the photo.",
        )
    outlines = read_outline_file(entry.outline).outlines
    return tuple(replace(entry, flank=one) for one in dict.fromkeys(outline.flank for outline in outlines))


def by_machine(entries: Sequence[ListedPhoto]) -> dict[str, list[ListedPhoto]]:
    """The entries of each machine; one without a name when no entry names any. Raises WrongUse when only some do."""
    unnamed = [entry.name for entry in entries if not entry.machine]
    if unnamed and len(unnamed) < len(entries):
        raise WrongUse(
            f"The list does not say to which machine {unnamed[0]} belongs, but does so for others.",
            "Fill in the column 'machine' on every line, or on none when all photos are of one machine.",
        )
    machines: dict[str, list[ListedPhoto]] = {}
    for entry in entries:
        machines.setdefault(entry.machine, []).append(entry)
    return machines


def starting_list(entries: Sequence[ListedPhoto]) -> list[ListedPhoto]:
    """The entries with their flanks where they are said, and as they are where a person has to say them."""
    started: list[ListedPhoto] = []
    for entry in entries:
        try:
            started.extend(with_flanks(entry))
        except PatternscanError:
            started.append(entry)
    return started


def _folder_name(folder: Path) -> str:
    return _readable(Path(folder.resolve().name))


def _readable(path: Path) -> str:
    """A path as it can be printed, also when its bytes are no text."""
    return printable(os.fsencode(path.as_posix()).decode("utf-8", "replace"))


def _is_photo(name: str) -> bool:
    return name[0] != "." and Path(name).suffix.casefold() in PHOTO_ENDINGS and not name.endswith(OWN_ENDINGS)


def _outline_beside(photo: Path) -> Path | None:
    """The outline file beside a photo, None where there is none. Raises WrongUse for several."""
    outlines = sorted(_outlines_beside(photo))
    if len(outlines) > 1:
        names = ", ".join(one.name for one in outlines)
        raise WrongUse(
            f"Several outlines lie beside {photo.name}: {names}.",
            "Keep the one that is right, as a rule the one saved last, and take the others out of the folder.",
        )
    return next(iter(outlines), None)


def _outlines_beside(photo: Path) -> Iterator[Path]:
    """Outline files by the photo's name, with and without its ending, also as a browser numbers one that is saved a
    second time.
    """
    for stem in dict.fromkeys((photo.stem, photo.name)):
        outline = photo.with_name(f"{stem}.outline.json")
        if os.path.isfile(outline):
            yield outline
        with suppress(OSError):
            for name in os.listdir(photo.parent):
                if name.startswith(f"{stem}.outline") and SAVED_AGAIN.fullmatch(name.removeprefix(stem)):
                    yield photo.with_name(name)


def _lines(path: Path) -> list[tuple[int, list[str]]]:
    """The lines that are not empty, each with its number; cells are set apart as in the first line."""
    try:
        text = text_bytes(path).decode("utf-8-sig")
    except OSError as error:
        raise WrongUse(
            f"The list {path} cannot be read: {error.strerror or error}.", "Check its name and place."
        ) from error
    except UnicodeDecodeError as error:
        raise WrongUse(f"The list {path.name} is not text in UTF-8.", "Save it as 'CSV UTF-8'.") from error
    if "\0" in text:
        raise WrongUse(f"The list {path.name} is no CSV file.", "Save it as 'CSV UTF-8'.")
    first = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=first.count))
    try:
        return [(reader.line_num, cells) for cells in reader if any(cell.strip() for cell in cells)]
    except csv.Error as error:
        raise WrongUse(f"The list {path.name} is no CSV file: {error}.", "Save it as 'CSV UTF-8'.") from error


def _header_faults(header: Sequence[str]) -> Iterator[str]:
    if "photo" not in header:
        yield "its first line does not name the column 'photo'"
    for name in header:
        if name and name not in COLUMNS and name != IGNORED:
            close = difflib.get_close_matches(name, COLUMNS, n=1)
            meant = f"did you mean '{close[0]}'?" if close else f"known are {', '.join(COLUMNS)} and {IGNORED}"
            yield f"the column '{shortened(name)}' is not known ({meant})"
        elif name and header.count(name) > 1:
            yield f"the column '{name}' is there twice"


def _row_faults(number: int, row: dict[str, str]) -> Iterator[str]:
    if not row.get("photo"):
        yield f"line {number} names no photo"
    for name, words in WORDS.items():
        if row.get(name, "") and _word(row, name) is None:
            yield f"line {number}: {name} is '{shortened(row[name])}', expected {' or '.join(words)}"


def _word(row: dict[str, str], name: str) -> str | None:
    """The word of a column, however it is written: rub-off, rub off, RUBOFF; None where it is none of the column's."""
    meant = {letters_of(word): word for word in WORDS[name]}
    return meant.get(letters_of(row.get(name, "")))


def _entry(row: dict[str, str], folder: Path) -> ListedPhoto:
    photo = folder / row["photo"]
    flank, tip, marking, medium, seen = (_word(row, name) for name in WORDS)
    outline, sheet, machine = row.get("outline"), row.get("sheet"), one_line(row.get("machine", ""))
    return ListedPhoto(
        name=printable(row["photo"]),
        photo=photo,
        flank=Flank(flank) if flank else None,
        outline=folder / outline if outline else _outline_beside(photo),
        tip=PictureSide(tip) if tip else None,
        machine=machine,
        sheet=folder / sheet if sheet else None,
        marking=Marking(marking) if marking else None,
        told=ToldMedium(Medium(medium) if medium else None, Seen(seen) if seen else None),
        by_folder=machine == _folder_name(photo.parent),
    )


def _path_from(path: Path, folder: Path) -> str:
    """The way from a folder to a file, whole where there is none; never such that a spreadsheet runs it."""
    try:
        way = Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()
    except ValueError:
        return path.resolve().as_posix()
    return f"./{way}" if way.startswith(FORMULA_SIGNS) else way
