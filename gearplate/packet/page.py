"""The page to start with: what the operator must know, what to mind, the pictures, the findings, the files.

One HTML file that holds everything: no script, no link, nothing fetched; its own policy forbids it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape
from typing import Any

from gearplate.files import MANIFEST_NAME
from gearplate.packet.account import headline
from gearplate.packet.account_parts import SET_OUTSIDE, findings_count, rail_lines, settings_said
from gearplate.packet.cautions import DEFERENCE, cautions
from gearplate.packet.characters import harmless
from gearplate.packet.contents import CHANGES_NAME, PAGE, PacketFile
from gearplate.packet.findings_text import it_needs, there_is, where, which, works
from gearplate.packet.measure import betweens, hole_sizes
from gearplate.packet.overlay import overlay
from gearplate.packet.page_style import STYLE
from gearplate.packet.picture_parts import numbered
from gearplate.packet.plate_picture import cut_sentences, plate_picture
from gearplate.packet.play_summary import play_summary_lines
from gearplate.packet.rating_text import strength_lines
from gearplate.packet.saw_list import cut_rows, screw_rows
from gearplate.packet.section import section
from gearplate.packet.sheet import Sheet
from gearplate.packet.side_column import STATES
from gearplate.packet.sizes import both, counted, hands_of, kerf_origin, one, other, size, unit_of

POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def page_bytes(
    record: dict[str, Any],
    files: Iterable[PacketFile] = (),
    pictures: Sequence[Sheet] | None = None,
    along: Sheet | None = None,
) -> bytes:
    """The page as UTF-8. `files` are the other files of the folder with their SHA-256; the page cannot hold its own.

    `pictures` are the overlay and the plates' previews in their order, `along` the section along the shafts, where
    they have been drawn already.
    """
    if pictures is None:
        pictures = [overlay(record), *(plate_picture(record, plate) for plate in record["plates"])]
        along = section(record)
    return "\n".join(_page(record, tuple(files), pictures, along)).encode("utf-8")


def own(text: object, longest: int = 80) -> str:
    """Text of a job: made harmless, escaped, and kept from turning the direction of what stands beside it."""
    return f'<bdi dir="auto">{escape(harmless(text, longest))}</bdi>'


def opening(title: str) -> Iterator[str]:
    """All before what a page shows."""
    yield '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(harmless(title, 100))}</title>\n<style>\n{STYLE}\n</style>\n</head>\n<body>"


def _page(
    record: dict[str, Any], files: tuple[PacketFile, ...], pictures: Sequence[Sheet], along: Sheet | None
) -> Iterator[str]:
    job = record["job"]
    state = f"{record['status'].upper()}: " if record["status"] in STATES else ""
    yield from opening(f"{state}{harmless(job['part'], 60)} {harmless(job['revision'], 12)}")
    yield f"<h1>{own(job['part'], 60)} {own(job['revision'], 12)}</h1>"
    if harmless(job["title"]):
        yield f"<p>{own(job['title'], 120)}</p>"
    yield f"<p>{escape(headline(record).split(': ', 1)[1])}. {escape(_checked(record))}</p>"
    if said := settings_said(record):
        yield f"<p>{SET_OUTSIDE} {own(said, 2000)}</p>"
    if record["status"] in STATES:
        yield f'<p class="banner">{escape(STATES[record["status"]])}</p>'
    yield from _to_cut(record)
    yield from _to_measure(record)
    yield from _to_drill(record)
    yield from _findings(record)
    yield from _play_and_strength(record)
    yield from _mind(record)
    yield f'<h2 class="sheet">What was built</h2>\n<figure class="whole">\n{pictures[0].text()}</figure>'
    yield from _files(files)
    if record["plates"]:
        yield '<h2 class="sheet">The plates as they lie in the cutter</h2>'
    for picture in pictures[1:]:
        yield f'<figure class="preview">\n{picture.text()}</figure>'
    yield from _along_the_shafts(record, along)
    yield "</body>\n</html>\n"


def _along_the_shafts(record: dict[str, Any], along: Sheet | None) -> Iterator[str]:
    """The section and the saw list."""
    if along is None:
        return
    yield '<h2 class="sheet">Along the shafts: what is sawn, what is fetched</h2>'
    yield f'<figure class="along">\n{along.text()}</figure>'
    yield _head_row("how many", "what", "length, or what for")
    for count, what, told in (*cut_rows(record), *screw_rows(record)):
        yield f"<tr><td>{count}</td><td>{own(what, 120)}</td><td>{own(told, 160)}</td></tr>"
    yield "</table>"


def _head_row(*names: str) -> str:
    return "<table>\n<tr>" + "".join(f"<th>{name}</th>" for name in names) + "</tr>"


def _checked(record: dict[str, Any]) -> str:
    ran = [check["compared"] for check in record["checks"] if check["compared"] > 0]
    return f"{counted(len(ran), 'check')} ran, {counted(sum(ran), 'comparison')}, {findings_count(record)}."


def _to_cut(record: dict[str, Any]) -> Iterator[str]:
    """The operator's three questions, for every file: what must the screen show, which side is up, is kerf in."""
    if not record["plates"] or record["status"] == "refused":
        return
    unit = unit_of(record)
    drawn = "inches" if unit == "inch" else "mm"
    yield f"<h2>For whoever runs the cutter</h2>\n<p>The files are drawn in {drawn}: cut each once.</p>"
    yield _head_row("plate and file", "sheet", "the screen must show", "which side is up")
    for plate in record["plates"]:
        width, height = plate["drawn"]["size_mm"]
        file = f"<br>{own(plate['file'], 120)}" if plate["file"] else ""
        twin = "; fits both hands" if plate["fits_both_hands"] else ""
        turned = "drawn turned over" if plate["turned"] else "drawn as seen from the wheel"
        yield (
            f'<tr><td><span class="key">{plate["plate"]}, {plate["hand"]} hand{twin}</span>{file}</td>'
            f"<td class='fixed'>{own(plate['material'], 40)}<br>{plate['thickness_mm']:.2f} mm thick</td>"
            f'<td class="fixed"><span class="big">{escape(size(width, height, unit))}</span><br>'
            f"({escape(size(width, height, other(unit)))})</td>"
            f'<td class="fixed"><span class="key">{plate["face_up"]} face up</span><br>{turned}</td></tr>'
        )
    yield "</table>"
    told = (cut_sentences(plate, kerf_origin(record, plate)) for plate in record["plates"])
    for sentence in dict.fromkeys(text for sentences in told for text in sentences):
        yield f'<p class="key">{escape(sentence)}</p>'
    yield f"<p>{escape(wrong_scale(record['plates'][0], record))}</p>"
    yield (
        '<p class="boxes"><span><i></i>size on the screen held</span><span><i></i>face up held</span>'
        "<span><i></i>one bore measured before the next plate: <u></u></span><span>name, date <u></u></span></p>"
    )


def _to_measure(record: dict[str, Any]) -> Iterator[str]:
    """Sizes to hold against the parts, with room to write. The other hand's are the same, mirrored."""
    plates = [plate for plate in record["plates"] if plate["hand"] == hands_of(record)[0]]
    if not plates or record["status"] == "refused":
        return
    unit = unit_of(record)
    tapered = any(hole.wide_mm > hole.finished_mm for plate in plates for hole in hole_sizes(plate))
    face = "At the narrower face of the cut. " if tapered else ""
    yield (
        f"<h2>To measure after cutting</h2>\n<p>{face}How far off is still good: common practice, no source. "
        "Between two bores: by caliper from edge to nearest edge.</p>"
    )
    for plate in plates:
        yield f'<table class="measure">\n<tr><th>{plate["plate"]} plate</th><th>finished</th><th>within</th>'
        yield "<th>wider face</th><th>measured</th></tr>"
        for hole in hole_sizes(plate):
            wide = one(hole.wide_mm, unit) if hole.wide_mm > hole.finished_mm else ""
            yield _measure_row(_names(hole.names), both(hole.finished_mm, unit), one(hole.within_mm, unit), wide)
        for pair in betweens(record, plate):
            about = f"{pair.names[0]} to {pair.names[1]} (centres {one(pair.centre_mm, unit)})"
            yield _measure_row(f"between {about}", both(pair.between_mm, unit), one(pair.within_mm, unit), "")
        yield "</table>"


def _measure_row(name: str, size: str, within: str, wide: str) -> str:
    cells = "".join(f'<td class="fixed">{escape(text)}</td>' for text in (size, f"± {within}", wide))
    return f'<tr><td>{own(name, 200)}</td>{cells}<td class="blank"></td></tr>'


def _names(names: Sequence[str]) -> str:
    return ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")


def _to_drill(record: dict[str, Any]) -> Iterator[str]:
    """What the rail must have, as the account says it."""
    said = " ".join(rail_lines(record, 10_000)).removeprefix("Rail: drill ")
    if said and record["plates"]:
        yield f"<h2>To drill into the rail</h2>\n<p>{own(said, 1000)}.</p>"


def _play_and_strength(record: dict[str, Any]) -> Iterator[str]:
    """What to expect of the meshes and what gives way first, as the account says it."""
    said = (" ".join(lines(record, 10_000)) for lines in (play_summary_lines, strength_lines))
    told = [text for text in said if text]
    if told:
        yield "<h2>Play and strength</h2>"
        yield from (f"<p>{own(text, 2000)}.</p>" for text in told)


def wrong_scale(plate: dict[str, Any], record: dict[str, Any]) -> str:
    """What a screen shows that takes inches for mm, or mm for inches."""
    unit = unit_of(record)
    width = plate["drawn"]["size_mm"][0]
    per_unit = 25.4 if unit == "inch" else 1.0
    large, small = width / per_unit * 25.4, width / per_unit / 25.4
    return (
        f"If it reads 25.4 times more or less (a width of {large:.2f} or {small:.3f} for the {plate['plate']} plate), "
        "stop: it has taken the file in another unit."
    )


def _findings(record: dict[str, Any]) -> Iterator[str]:
    if not record["findings"]:
        return
    yield "<h2>Findings</h2>"
    yield _head_row("", "check", "what", "there is", "it needs", "a change")
    for number, finding in numbered(record):
        place = where(finding)
        numbers, change = (there_is(finding), it_needs(finding)), works(finding)
        yield (
            f'<tr><td>{number}</td><td class="check">'
            f'<span class="{finding["severity"]}">{finding["severity"]}</span><br>'
            f"{escape(harmless(finding['check'], 40))}</td><td>{own(which(finding), 400)}"
            + (f'<br><span class="quiet">{own(place, 200)}</span>' if place else "")
            + "</td>"
            + "".join(f'<td class="whole">{own(cell, 600) if cell else ""}</td>' for cell in numbers)
            + f"<td>{own(change, 600) if change else ''}</td></tr>"
        )
    yield "</table>"


def _mind(record: dict[str, Any]) -> Iterator[str]:
    yield f"<h2>Cautions</h2>\n<p>{escape(DEFERENCE)}</p>\n<dl>"
    for caution in cautions(record):
        yield f"<div><dt>{escape(caution.topic)}</dt><dd>{escape(caution.text)}</dd></div>"
    yield "</dl>"


def _files(files: tuple[PacketFile, ...]) -> Iterator[str]:
    listed = [file for file in files if file.role != PAGE]
    if not listed:
        return
    yield '<h2>Files in this folder, with SHA-256</h2>\n<table class="sums">'
    for file in listed:
        yield f"<tr><td>{own(file.name, 200)}</td><td>{escape(file.role)}</td><td>{escape(file.sha256)}</td></tr>"
    yield "</table>"
    yield (
        f"<p>{MANIFEST_NAME} lists them too, and this page. What changed since the build before, if anything did, "
        f"stands in {CHANGES_NAME}.</p>"
    )
