"""Phrases that no report may hold, in any form: it checks arithmetic and promises nothing."""

import html
import re

FORBIDDEN = ("no more electric bill", "no more electricity bill", "no electric bill", "guaranteed saving", "savings are guaranteed",
             "saving is guaranteed", "guaranteed to save", "free solar", "free electricity", "meets code", "meets the code",
             "code-compliant", "code compliant", "complies with", "is approved", "are approved", "is safe", "are safe")


def plain(page: str) -> str:
    """The words of a page in lower case, without tags, styles and joining signs."""
    text = re.sub(r"<style.*?</style>|<[^>]*>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(text).replace("\u2060", "").replace("’", "'").split()).lower()


def forbidden_in(page: str) -> list[str]:
    text = plain(page)
    return [phrase for phrase in FORBIDDEN if phrase in text]
