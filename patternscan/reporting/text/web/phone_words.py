"""Sentences that name commands and options, for a page, where there are touches and forms in their place."""

from __future__ import annotations

import re

ON_PAGES: tuple[tuple[str, str], ...] = (
    (r"mark it with 'patternscan outline'", "move its corners"),
    (r"Mark it by hand on the page that 'patternscan outline PHOTO' writes", "Set its corners by hand"),
    (r"mark it by hand on the page that 'patternscan outline PHOTO' writes", "set its corners by hand"),
    (r"Mark the flank itself on the page that 'patternscan outline PHOTO' writes", "Move the corners onto the flank"),
    (r"Mark the flank again on the page that 'patternscan outline PHOTO' writes", "Set the corners again"),
    (r"mark the corners by hand on the page that 'patternscan outline PHOTO' writes", "set its corners by hand"),
    (r"Make the outline again with 'patternscan outline PHOTO'", "Set the corners again"),
    (r" and read again without --snap", ""),
    (r"Name the colour with --compound (\(.*?\)) and read", r"Name the colour on the machine's sheet \1 and read"),
    (r"say so with --compound (\(.*?\)) and read again", r"name it on the machine's sheet \1 and read again"),
    (r"name its colour with --compound (\(.*?\))", r"name its colour on the machine's sheet \1"),
    (r"leave --compound out", "take it off the machine's sheet"),
    (r"note the film with --film", "note on the machine's sheet how it was laid on"),
    (r", or raise the limit with --max-megapixels", ""),
    (r"--marking says (\S+), but", r"You said \1, but"),
    (r"Give --marking transfer (\(.*?\)) or --marking (rub-off \(.*?\))", r"Say whether it is transfer \1 or \2"),
    (r"Give left flanks with --left and right flanks with --right", "Photograph each flank where it is asked for"),
    (r"Nothing was kept\. If it is right, give it again with --sure", "If it is right, keep it all the same"),
    (r"strike ((?:it|the wrong entry)) with 'patternscan log strike'", r"strike \1 in the list of all entries"),
    (r", and the log with 'patternscan log show'", ", and look at all entries"),
    (r"See the numbers with 'patternscan log show'", "See the numbers in the list of all entries"),
    (r"as measured \('patternscan log measured'\)", "as measured"),
    (r" \('patternscan log [^']*'\)", ""),
    (r"judge that one with --occasion maker or put", "add it to the job as the maker's own print, or put"),
    (r"Log it again with --stands high or low", "Note it again with whether it stands high or low"),
    (r", or give --stock", ""),
    (
        r"Give either --add or --remove, or --upper and --lower",
        "Fill in either what was added or what was taken out, or what changed under the upper and the lower bolts",
    ),
    (r"Give --radius, or \[dial\] radius in the machine sheet", "Fill it in here or on the machine sheet"),
    (r"; with --stands its shims", ". Say how it stands, and its shims"),
    (r"Give the folder of a job begun with 'patternscan start', or restore its log", "Restore its log from a copy"),
    (r"Give the folder of a job, or begin one with 'patternscan start'", "Begin with the machine anew"),
    (r"Give a folder written by 'patternscan judge --out', or the photos by their options", "Ask for the answer again"),
    (r"Give two files written by 'patternscan judge --json' or found as \S+ in its --out folder", "Ask for both again"),
    (r"Give a file written by 'patternscan judge'", "Ask for the answer again"),
    (r" Give folders of 'judge --out'\.", ""),
    (r"Give another folder, or --overwrite to replace it", "Try again"),
    (r" on the page that 'patternscan outline PHOTO' writes", " by its corners"),
    (r" as it is shown upright \(--tip\)", ""),
    (r":? ?patternscan log [a-z-]+[^.]*", ""),
)
"""What a command line says, and what a page says in its place."""
NAMED = re.compile(r"patternscan log ([a-z-]+)")
STAND_INS = {"PLACE": "the place", "NAME": "a named person", "a PART": "a part", "a JOINT": "a joint"}
_RULES = [(re.compile(pattern), words) for pattern, words in ON_PAGES]


def on_phone(words: str) -> str:
    """The same words without commands and options.

    >>> on_phone("Name the colour with --compound (blue, red) and read the photo again.")
    "Name the colour on the machine's sheet (blue, red) and read the photo again."
    """
    if "--" not in words and "patternscan" not in words:
        return words
    for pattern, said in _RULES:
        words = pattern.sub(said, words)
    return re.sub(r"(?<!\S)--(?=[a-z])", "", words)


def on_form(words: str) -> str:
    """What is said of a kind of entry, for its form: no stand-ins for words that are typed in a command."""
    plain = on_phone(words)
    for word, meant in STAND_INS.items():
        plain = plain.replace(word, meant)
    return plain[:1].upper() + plain[1:]


def named_kind(words: str) -> str | None:
    """The kind of entry whose command a sentence names, None for none: a page leads to its form instead."""
    found = NAMED.search(words)
    return None if found is None else found[1]
