"""What holds for every test: no page that any of them makes may hold a forbidden phrase."""

from __future__ import annotations

import jinja2
import pytest

from tests.report.words import forbidden_in


@pytest.fixture(autouse=True, scope="session")
def every_page_is_scanned():
    """All pages go through `jinja2.Template.render`, so here none escapes, in whichever test it is made."""
    render = jinja2.Template.render

    def scanned(self, *args, **named):
        page = render(self, *args, **named)
        assert not forbidden_in(page)
        return page
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(jinja2.Template, "render", scanned)
        yield
