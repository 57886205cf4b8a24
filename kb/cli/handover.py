"""`halfsplit handover`: the report that goes home with a unit, as one file."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import NoReturn, cast

import click

from kb.audience.handing_over import hand_over
from kb.audience.handover import Handover
from kb.cli.asking import refuse
from kb.cli.chromium import NoPdf, find_chromium, print_to_pdf
from kb.cli.loading import shop_or_stop, stop
from kb.cli.pdf_marks import is_ours, marked
from kb.cli.working import remove_left_overs, working_folder
from kb.pages.handover import MARK, report_html
from kb.pages.handover.document import Paper
from kb.problems import did_you_mean

_ENDINGS = (".html", ".pdf")


@click.command()
@click.argument("job")
@click.option("--to", "target", required=True, type=click.Path(path_type=Path), metavar="FILE",
              help="The report: FILE.html, or FILE.pdf where a Chromium is installed.")  # fmt: skip
@click.option("--paper", type=click.Choice(["A4", "Letter"], case_sensitive=False),
              help="The sheets of a PDF; A4 if left out. A page follows the printer.")  # fmt: skip
@click.option("--shop", "folder", default=".", type=click.Path(path_type=Path), metavar="DIR",
              help="The shop's folder; this one if left out.")  # fmt: skip
def handover(job: str, target: Path, paper: str | None, folder: Path) -> None:
    """Write the report on JOB for the owner of the unit.

    It tells what was found and done, the readings with their limits, the parts, the final tests, cautions
    and advice, with lines to sign on; nothing of other units and no note of the shop.

    halfsplit handover 2026-sixteenfold-0655 --to report.pdf --paper Letter
    """
    target = _place(target, paper)
    command = _chromium() if target.suffix.lower() == ".pdf" else None
    shop = shop_or_stop(folder)
    if job not in shop.jobs:
        refuse(f'there is no job "{job}"', did_you_mean(job, shop.jobs))
    report, problems = hand_over(shop, job)
    if report is None:
        stop(problems)
    size = cast("Paper", paper or "A4") if command else None
    page, problems = report_html(report, size)
    if page is None:
        stop(problems)
    _write(page, report, target, command)
    click.echo(f"report on {job} in {target}; read it before it goes home")


def _place(target: Path, paper: str | None) -> Path:
    """The file in full; refused where it is none of ours or can be no report."""
    ending = target.suffix.lower()
    if ending not in _ENDINGS:
        refuse(f'"{target}" can be no report', "write --to FILE.html or --to FILE.pdf")
    if paper and ending == ".html":
        refuse("--paper is for a PDF", "the printer decides on the paper of a page; leave it out")
    target = target.absolute()
    if target.is_dir():
        refuse(f'"{target}" is a folder', "name a file with --to")
    if (target.exists() or target.is_symlink()) and not _is_report(target):
        refuse(
            f'"{target}" was not made by halfsplit handover', "move it away, or name another file with --to"
        )
    return target


def _is_report(file: Path) -> bool:
    try:
        found = file.read_bytes()
    except OSError as error:
        refuse(f'"{file}" cannot be read ({error.strerror})', "name another file with --to")
    return is_ours(found) if file.suffix.lower() == ".pdf" else found.startswith(MARK.encode())


def _chromium() -> str:
    try:
        return find_chromium()
    except NoPdf as error:
        _no_pdf(error)


def _write(page: bytes, report: Handover, target: Path, command: str | None) -> None:
    """The finished file in the place of the old one, or nothing."""
    remove_left_overs(target)
    with working_folder(target) as beside:
        try:
            made = beside / "report.html"
            made.write_bytes(page)
            if command:
                made = _printed(command, made, report.returned or report.received)
            made.replace(target)
        except OSError as error:
            refuse(f'"{target}" cannot be written ({error.strerror})', "name another file with --to")


def _printed(command: str, page: Path, day: datetime.date) -> Path:
    pdf = page.with_suffix(".pdf")
    try:
        print_to_pdf(command, page, pdf, page.parent / "profile")
        whole = marked(pdf.read_bytes(), day)
        if whole is None:
            raise NoPdf(f"what {command} printed cannot be marked as a report")
    except NoPdf as error:
        _no_pdf(error)
    pdf.write_bytes(whole)
    return pdf


def _no_pdf(error: NoPdf) -> NoReturn:
    refuse(f"no PDF could be made: {error}", "write --to FILE.html and print that from a browser")
