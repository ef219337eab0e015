"""The machine sheet as a TOML file that a person writes: read with all its faults told at once, and one to fill in."""

from __future__ import annotations

import difflib
import json
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from textwrap import wrap
from typing import Any

from patternscan.errors import WrongUse
from patternscan.judging.advice import ShimRule
from patternscan.judging.comparison import Target
from patternscan.plain_text import one_line, quoted, shortened
from patternscan.setting.machine.allowed import Allowed
from patternscan.setting.machine.fields import GEAR, TABLES
from patternscan.setting.machine.sheet import Dial, Eccentrics, Gear, Limit, Limits, Sheet, SideShims
from patternscan.text_file import text_bytes
from patternscan.units import MM_PER_INCH, parse_length

Content = Mapping[str, Any]
UNIT = re.compile(r'^\s*[\d.,]+\s*(mm|inch|in|thou|")')
"""A length with its unit, at the beginning of a text."""
AT_LINE = re.compile(r"at line (\d+)")
FIRST_LINES = """\
# Machine sheet. Every line is optional. A line that begins with # does not count: take the # away and put in what holds
# for this machine. Lengths carry their unit: "0.10 mm", "0.004 in" or "4 thou".
"""
MEANING_COLUMN, SHEET_COLUMNS = 37, 120
"""Where what a key means begins on the sheet to fill in, and how wide the sheet is."""


def read_sheet(path: Path) -> Sheet:
    """Read and check a machine sheet; every fault is named at once. Raises WrongUse."""
    return checked_sheet(sheet_content(path), path.name)


def checked_sheet(content: Content, name: str) -> Sheet:
    """The sheet that a file's content tells; ``name`` is that of the file. Raises WrongUse, naming every fault."""
    faults = [*_field_faults(content), *_contradictions(content)]
    if faults:
        raise WrongUse(f"The machine sheet {name} has faults: {'; '.join(faults)}.", "Correct the sheet.")
    values = {table: _values(table, content) for table in TABLES}
    return Sheet(
        **values["machine"],
        **values["photos"],
        **values["tags"],
        gear=_gear(values["gear"]),
        centre_distance_mm=values["gear"].get("centre_distance_mm"),
        target=Target(**values["target"]),
        shims=_shims(values["shims"]),
        eccentrics=Eccentrics(**values["eccentrics"]) if "eccentrics" in content else None,
        dial=Dial(**values["dial"]),
        limits=_limits(values["limits"]),
        in_inch=_in_inch(content),
    )


def _in_inch(content: Content) -> bool:
    """Whether more of its lengths are written in inches than in millimetres."""
    texts = [text for table in content.values() for value in table.values() for text in _texts(value)]
    found = [match[1] for match in map(UNIT.search, texts) if match is not None]
    return len(found) > 2 * found.count("mm")


def _texts(value: Any) -> list[str]:
    return [each for each in (value if isinstance(value, list) else [value]) if isinstance(each, str)]


def sheet_text(path: Path) -> str:
    """The text of a machine sheet, whatever it says. Raises WrongUse."""
    try:
        return text_bytes(path).decode("utf-8-sig")
    except OSError as error:
        raise WrongUse(
            f"The machine sheet {path} cannot be read: {error.strerror or error}.", "Check its name and place."
        ) from error
    except UnicodeDecodeError as error:
        raise WrongUse(
            f"The machine sheet {path.name} is not plain text.", "Give the sheet itself, or save it as text in UTF-8."
        ) from error


def sheet_content(path: Path) -> Content:
    """What stands on a machine sheet, right or wrong. Raises WrongUse for what is no TOML file."""
    text = sheet_text(path)
    if text.lstrip().startswith("{"):
        raise WrongUse(
            f"{path.name} is no machine sheet but a file of this tool, such as an outline or a result.",
            "Give the machine sheet, which has lines such as 'module_mm = 6.3'.",
        )
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise WrongUse(
            f"The machine sheet {path.name} cannot be understood{_where(str(error), text)}.",
            "Write one 'key = value' a line, each key and each [table] once: numbers with a point and without a unit "
            '(6.3), words and lengths with a unit in straight quotation marks ("right", "0.10 mm").',
        ) from error


def _where(error: str, text: str) -> str:
    """The line that a parser's words point to, and what stands there; nothing where they point to none."""
    told, lines = AT_LINE.search(error), text.splitlines()
    if told is None or not 0 < (number := int(told[1])) <= len(lines):
        return ""
    return f" at line {number}: {quoted(lines[number - 1].strip())}"


def _values(name: str, content: Content) -> dict[str, Any]:
    """What a table without faults gives, under the program's names."""
    given = content.get(name, {})
    fields = (field for field in TABLES[name].fields if field.key in given)
    return {field.name or field.key: field.allowed.convert(given[field.key]) for field in fields}


def _gear(values: Content) -> Gear:
    known = {name: value for name, value in values.items() if name != "centre_distance_mm"}
    module_mm = module_from_centres(values)
    return Gear(**({} if module_mm is None else {"module_mm": module_mm}) | known)


def _shims(values: dict[str, Any]) -> SideShims:
    carrier, toward = values.get("carrier"), values.pop("toward", None)
    rule = None if carrier is None or toward is None else ShimRule(carrier, toward)
    return SideShims(**values, rule=rule)


def _limits(values: Content) -> Limits:
    pairs: dict[str, Any] = {
        name: Limit(*value) if isinstance(value, tuple) else value for name, value in values.items()
    }
    return Limits(**pairs)


def _field_faults(content: Content) -> Iterator[str]:
    """Every fault of a single key in plain words, with the nearest known word where one is not known."""
    for name, given in content.items():
        if name not in TABLES:
            yield (
                f"[{shortened(name)}] is not known{_nearest(name, TABLES)}" if isinstance(given, dict) else _loose(name)
            )
        elif not isinstance(given, dict):
            yield f"{shortened(name)} is not a table; write [{shortened(name)}] on a line of its own"
        else:
            fields = {field.key: field for field in TABLES[name].fields}
            for key, value in given.items():
                if key not in fields:
                    yield f"{name}.{shortened(key)} is not known{_nearest(key, fields)}"
                elif not (allowed := fields[key].allowed).holds(value):
                    yield f"{name}.{key} is {quoted(value)}, expected {allowed.words}{_in_mm(key, value, allowed)}"


def _loose(key: str) -> str:
    """Of a key that stands above every table: under which it belongs."""
    homes = [f"[{table.name}]" for table in TABLES.values() if key in {field.key for field in table.fields}]
    return f"{shortened(key)} stands under no table; write {' or '.join(homes) or 'its [table]'} on a line above it"


def _in_mm(key: str, value: Any, allowed: Allowed) -> str:
    """What to write for a number in mm where one with its unit was written, or one in inches; else nothing."""
    if not key.endswith("_mm") or isinstance(value, bool):
        return ""
    if isinstance(value, str):
        with suppress(WrongUse):
            length_mm = parse_length(value)
            return f" (without its unit: {length_mm:g})" if allowed.holds(length_mm) else ""
    number = isinstance(value, int | float)
    return " (written in inches? 1 in is 25.4 mm)" if number and allowed.holds(MM_PER_INCH * value) else ""


def _nearest(word: str, known: Iterable[str]) -> str:
    close = difflib.get_close_matches(word, list(known), n=1)
    return f" (did you mean {close[0]}?)" if close else ""


def _contradictions(content: Content) -> Iterator[str]:
    """Faults that lie between two keys."""
    photos = content.get("photos")
    if isinstance(photos, dict) and photos.get("medium") in ("tape", "paper") and "seen" not in photos:
        yield f"photos.medium is {photos['medium']!r}, but photos.seen does not say which side of it is seen"
    shims, carriers, gear = (
        table if isinstance(table := content.get(name), dict) else {} for name in ("shims", "eccentrics", "gear")
    )
    if "carrier" not in shims:
        if "adding_moves_wheel" in shims:
            yield "[shims] says what adding does but not under which carrier"
        if "holds_shaft" in shims:
            yield "[shims] says what holds the shaft but not which carrier has the shims"
    holes, widest = carriers.get("holes"), carriers.get("widest_hole")
    if isinstance(holes, int) and isinstance(widest, int | float) and not widest < holes + 1:
        yield f"eccentrics.widest_hole is {widest!r}, but there are only {holes} holes"
    module_mm = module_from_centres(gear)
    if module_mm is not None and not GEAR["module_mm"].allowed.holds(module_mm):
        yield "gear.centre_distance_mm does not fit gear.worm_diameter_mm and gear.teeth"


def module_from_centres(gear: Content) -> float | None:
    """The module in mm when the sheet gives the centre distance in its place, from a = (d1 + m z2) / 2.

    That holds for teeth without profile shift. None when the module is given, or not enough to reckon it.
    Source: any gear handbook, for instance the worked worm pair in the KHK gear handbook (a 67, d1 44, z2 30, m 3).
    """
    given = [gear.get(name) for name in ("centre_distance_mm", "worm_diameter_mm", "teeth")]
    distance, worm, teeth = (one if isinstance(one, int | float) and one > 0 else None for one in given)
    if "module_mm" in gear or distance is None or worm is None or teeth is None:
        return None
    return round((2 * distance - worm) / teeth, 6)


def blank_sheet(machine: str) -> str:
    """The text of a sheet for a machine of this name: every key is there with what it means, none says anything yet."""
    lines = [FIRST_LINES.rstrip("\n")]
    for table in TABLES.values():
        lines += ["", _with_meaning(f"[{table.name}]", table.meaning)]
        lines += [_with_meaning(f"# {field.key} = {field.example}", field.told) for field in table.fields]
    return "\n".join(lines).replace("# name = {NAME}", f"name = {_quoted(machine)}") + "\n"


def gear_sheet(machine: str, gear: Gear) -> str:
    """The text of a sheet that says the machine's name and its gear data, and nothing else."""
    known = {key: value for key, value in asdict(gear).items() if value is not None}
    return f"[machine]\nname = {_quoted(machine)}\n\n[gear]\n" + "".join(
        f"{key} = {json.dumps(value)}\n" for key, value in known.items()
    )


def _with_meaning(line: str, meaning: str) -> str:
    """The line with what it means beside it, which runs on below where it is long."""
    if not meaning:
        return line
    first, *more = wrap(meaning, SHEET_COLUMNS - MEANING_COLUMN - len("# "))
    rows = [
        f"{line.ljust(MEANING_COLUMN - 4)}    # {first}",
        *(f"{'#'.ljust(MEANING_COLUMN)}  {each}" for each in more),
    ]
    return "\n".join(rows)


def _quoted(words: str) -> str:
    """A TOML basic string; JSON's way of writing is one too (TOML 1.0, "String")."""
    return json.dumps(one_line(words), ensure_ascii=False)


def fields_as_markdown() -> str:
    """Every key of a sheet in one Markdown table: the key, what it may be, what it means."""
    rows = ["| key | what it may be | what it means |", "|---|---|---|"]
    for table in TABLES.values():
        rows += [f"| `{table.name}.{one.key}` | {one.allowed.words} | {one.told} |" for one in table.fields]
    return "\n".join(rows) + "\n"
