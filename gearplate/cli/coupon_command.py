"""`gearplate coupon`: a small piece to cut first, with each bore in several sizes."""

from __future__ import annotations

import os

import click

from gearplate.cli.options import JOB_HELP, job_argument, json_option, set_option


@click.command("coupon", short_help="Make a piece to cut first: each bore in several sizes.", epilog=JOB_HELP)
@job_argument
@click.option("--out", "-o", metavar="DIR", help="The folder to write; out/<job's name>-coupon where it is left out.")
@set_option
@json_option
def command(job: str | None, out: str | None, sets: tuple[str, ...], as_json: bool) -> int:
    """Make a cut file with each of the job's bores in five sizes, and a page that says how to turn what fits into the
    cutter's kerf and fits. One piece for every sheet that the plates come from. No layout is needed.

    The folder is replaced whole."""
    from gearplate.cli.job_argument import find_job
    from gearplate.cli.made import loaded
    from gearplate.cli.say import say, width
    from gearplate.errors import UsageError
    from gearplate.files import MANIFEST_NAME, check_target, recover, safe_name, write_folder

    spec = loaded(find_job(job, "coupon"), sets, as_json)
    target = os.path.join("out", f"{safe_name(spec.name)}-coupon") if out is None else out
    recover(target)
    check_target(target)
    from gearplate.packet.contents import CUT, PAGE, RECORD
    from gearplate.packet.coupon_page import coupon_page
    from gearplate.packet.coupon_text import coupon_lines
    from gearplate.record.json_text import json_text
    from gearplate.studies.coupon import coupon_record, coupons_of

    never = [str(side) for side, shop in spec.shops.items() if shop is None]
    if never:
        raise UsageError(f"the {never[0]} plate is of a material that must never be cut: gearplate check tells why.")
    coupons = coupons_of(spec)
    if not coupons:
        raise UsageError("no plate of this job bears a bearing or a motor: there is nothing to try.")
    record = coupon_record(spec, coupons)
    text = json_text(record)
    files = {coupon.cut.file_name: coupon.data for coupon in coupons}
    roles = dict.fromkeys(files, CUT)
    files["index.html"], roles["index.html"] = coupon_page(record, [coupon.sheet for coupon in coupons]), PAGE
    files["coupon.json"], roles["coupon.json"] = text.encode("utf-8"), RECORD
    written = write_folder(target, files, roles)
    if as_json:
        say(text.rstrip("\n"))
        return 0
    for line in coupon_lines(record, width()):
        say(line)
    say(f"Files in {written.folder}")
    say("  start with    index.html")
    for coupon in coupons:
        say(f"  cut           {coupon.cut.file_name}")
    say(f"  for programs  coupon.json, {MANIFEST_NAME}")
    return 0
