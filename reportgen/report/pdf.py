"""A page as a tagged PDF (PDF/UA-1). The engine can open nothing but what stands inside the page itself."""

from __future__ import annotations

import gc
import logging
from contextlib import contextmanager
from pathlib import Path

from reportgen.report.assets import ASSET, asset, font_faces, font_faces_for_pdf

PAGE_SIZES = ("Letter", "A4")
TAGGED = "pdf/ua-1"
PANGO_REMEDY = ("report.pdf can't be set: the system library Pango is missing or can't be loaded.\n"
                "  Debian, Ubuntu:  sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0\n"
                "  Fedora:          sudo dnf install pango harfbuzz\n"
                "  Homebrew:        brew install pango")


class PangoMissing(RuntimeError):
    """The PDF engine's system library can't be loaded; the text says how to mend it."""


class PdfTrouble(RuntimeError):
    """The PDF engine had something to say about a page: a fault of the page, never to be shipped."""


def write_pdf(html: str, path: Path, page_size: str) -> None:
    """Set `html` on pages of `page_size` ('Letter' or 'A4') and write it to `path`; the same bytes each time.

    Raises PangoMissing where the engine can't start, PdfTrouble where it logged anything at all: a missing glyph's
    font, an unknown property and a refused file are all only log lines there.
    """
    if page_size not in PAGE_SIZES:
        raise ValueError(f"a page is {' or '.join(PAGE_SIZES)}, not {page_size!r}")
    weasyprint = _engine()
    fetcher = _only_inside()
    page = html.replace(font_faces(), font_faces_for_pdf())
    with _Log() as said, _no_collection():
        try:
            size = weasyprint.CSS(string=f"@page {{ size: {page_size} }}", url_fetcher=fetcher)
            document = weasyprint.HTML(string=page, url_fetcher=fetcher).render(stylesheets=[size], pdf_variant=TAGGED)
            pdf = document.write_pdf(pdf_variant=TAGGED)
        except weasyprint.urls.FatalURLFetchingError as error:
            raise PdfTrouble(f"the page asks for something outside itself: {error}") from error
    if said.messages:
        raise PdfTrouble("the PDF engine reported: " + "; ".join(dict.fromkeys(said.messages)))
    Path(path).write_bytes(pdf)


def _engine():
    try:
        import weasyprint
    except OSError as error:
        raise PangoMissing(f"{PANGO_REMEDY}\n  The loader said: {str(error).splitlines()[0]}") from error
    return weasyprint


@contextmanager
def _no_collection():
    """Setting a report makes some millions of small objects; looking through them for cycles costs a quarter of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _only_inside():
    """A fetcher that gives the engine our fonts and data written into the page, and no file or address."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Inside(URLFetcher):
        def fetch(self, url, headers=None):
            if url.startswith(ASSET):
                return URLFetcherResponse(url, asset(url), {"Content-Type": "font/ttf"})
            return super().fetch(url, headers)

    return Inside(allowed_protocols={"data"}, fail_on_errors=True)


class _Log(logging.Handler):
    """Collects every message of the engine, whatever level the program has set."""

    def __init__(self):
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record):
        self.messages.append(record.getMessage())

    def __enter__(self):
        self._logger = logging.getLogger("weasyprint")
        self._before = (self._logger.level, self._logger.propagate, self._logger.handlers[:], self._logger.disabled)
        self._logger.handlers, self._logger.propagate, self._logger.disabled = [self], False, False
        self._logger.setLevel(logging.WARNING)
        return self

    def __exit__(self, *_):
        level, propagate, handlers, disabled = self._before
        self._logger.handlers, self._logger.propagate, self._logger.disabled = handlers, propagate, disabled
        self._logger.setLevel(level)
