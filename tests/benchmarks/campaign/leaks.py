"""Does anything that the camera wrote beside the picture get into what is handed over? Every output is searched."""

from __future__ import annotations

import base64
import io
import re
import zlib
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner
from PIL import Image
from PIL.PngImagePlugin import PngInfo
from PIL.TiffImagePlugin import IFDRational

from patternscan.cli import main
from tests.benchmarks.campaign.commands import SAMPLES

SECRETS = (b"PRIVATE-OWNER", b"PRIVATE-SERIAL", b"PRIVATE-REMARK", b"PRIVATE-PLACE", b"PRIVATE-TITLE")
GPS_MINUTES = 47123457
"""Over a million; its bytes are searched too, either way round."""
PLACE_BYTES = (GPS_MINUTES.to_bytes(4, "big"), GPS_MINUTES.to_bytes(4, "little"))
ARTIST, BODY_SERIAL, GPS_IFD, EXIF_IFD = 0x013B, 0xA431, 0x8825, 0x8769
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><title>PRIVATE-TITLE</title><city>PRIVATE-PLACE</city></x:xmpmeta>'
EMBEDDED = re.compile(rb"base64,([A-Za-z0-9+/=]{40,})")
STREAM = re.compile(rb"stream\r?\n(.*?)endstream", re.DOTALL)
PACKED_TEXT = re.compile(rb"(?:zTXt|iTXt)[^\0]{1,79}\0.{0,4}?(x[\x01\x5e\x9c\xda].+?)(?=zTXt|iTXt|IDAT)", re.DOTALL)


def search_outputs(folder: Path) -> str:
    """Run the commands over photos full of secrets; how many files they wrote, and which of them hold one."""
    photos = _photos(folder)
    outputs, whole = folder / "handed_over", folder / "whole_job"
    words = [*_judged(photos, ".jpg"), "--json"]
    for out in (outputs / "judged", outputs / "again"):
        _run([*words, "--out", str(out)])
    printed = [_run(words), _run(["compare", str(outputs / "judged"), str(outputs / "again"), "--full"])]
    _run(["read", str(photos), "--flank", "left", "--marking", "transfer", "--out", str(outputs / "folder")])
    _run(["outline", str(photos / "left.jpg"), "--flank", "left", "--out", str(outputs / "marked")])
    for job, copy in ((outputs / "job", "--copy-photos"), (whole, "--copy-whole")):
        printed.append(_run(["start", str(job)]))
        for ending in (".jpg", ".png"):
            printed.append(_run([*_judged(photos, ending), "--job", str(job), copy, "--full"]))
        printed.append(_run(["record", str(job), "--out", str(job / "record.html"), "--pdf", str(job / "record.pdf")]))
    (outputs / "printed.txt").write_text("\n".join(printed), encoding="utf-8")
    leaks = [str(path.relative_to(folder)) for path in _files(outputs) if holds_secret(path.read_bytes())]
    control = sum(holds_secret(path.read_bytes()) for path in _files(whole))
    told = f"{len(_files(outputs))} files searched, {len(leaks)} leaks; found in {control} of the 4 copies made whole"
    return "\n".join([told, *leaks])


def holds_secret(content: bytes) -> bool:
    """Whether a secret stands in a file as it is, in a picture inside a page, or packed."""
    return any(secret in part for part in _parts(content) for secret in (*SECRETS, *PLACE_BYTES))


def _parts(content: bytes) -> Iterator[bytes]:
    yield content
    for packed in EMBEDDED.findall(content):
        yield from _parts(base64.b64decode(packed + b"=" * (-len(packed) % 4)))
    for packed in (*STREAM.findall(content), *PACKED_TEXT.findall(content)):
        try:
            yield zlib.decompressobj().decompress(packed)
        except zlib.error:
            continue


def _photos(folder: Path) -> Path:
    """Both flanks of the goods lift as JPEG and PNG, with everything that a camera may write beside the picture."""
    photos = folder / "private"
    photos.mkdir()
    for flank in ("left", "right"):
        original = SAMPLES / f"goods_lift_before_{flank}.jpg"
        outline = original.with_name(f"{original.stem}.outline.json").read_text(encoding="utf-8")
        (photos / f"{flank}.outline.json").write_text(outline.replace(original.stem, flank), encoding="utf-8")
        with Image.open(original) as image:
            plain = image.convert("RGB")
        told = PngInfo()
        told.add_itxt("XML:com.adobe.xmp", XMP.decode(), zip=True)
        told.add_text("Comment", "PRIVATE-REMARK", zip=True)
        content = io.BytesIO()
        plain.save(content, "JPEG", quality=92, exif=_exif(), xmp=XMP, comment=b"PRIVATE-REMARK")
        (photos / f"{flank}.jpg").write_bytes(content.getvalue())
        plain.save(photos / f"{flank}.png", exif=_exif(), pnginfo=told)
    return photos


def _exif() -> Image.Exif:
    exif = Image.Exif()
    exif[ARTIST] = "PRIVATE-OWNER"
    exif.get_ifd(EXIF_IFD)[BODY_SERIAL] = "PRIVATE-SERIAL"
    exif.get_ifd(GPS_IFD).update({1: "N", 2: (51.0, IFDRational(GPS_MINUTES, 1_000_000), 0.0)})
    return exif


def _judged(photos: Path, ending: str) -> list[str]:
    given = [f"--{flank}={photos / flank}{ending}" for flank in ("left", "right")]
    outlines = [f"--{flank}-outline={photos / flank}.outline.json" for flank in ("left", "right")]
    return ["judge", *given, *outlines, "--marking", "transfer"]


def _run(words: list[str]) -> str:
    return CliRunner().invoke(main, words).output


def _files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*")) if path.is_file()]
