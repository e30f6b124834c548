"""The unguessable name of each house's shared folder, kept beside the batch so that links outlive a rebuild."""

from __future__ import annotations

import json
import os
import secrets
from pathlib import Path

FILE_NAME = ".share-tokens.json"
NOTE = ("Names of the shared folders. Whoever knows one can open that house's report, so keep this file private; "
        "without it every share link changes.")


class TokensUnreadable(ValueError):
    """The state file is there but damaged; nothing was changed."""


def new_token() -> str:
    """128 random bits. The first character is a letter or digit: some web servers hide other names."""
    while True:
        token = secrets.token_urlsafe(16)
        if token[0].isalnum():
            return token


def share_tokens(batch_folder: Path, slugs: list[str]) -> tuple[dict[str, str], bool]:
    """Token by house, for `slugs` and for every house there ever was, and whether the state file is new.

    Raises TokensUnreadable, and OSError where the folder can't be written.
    """
    path = batch_folder / FILE_NAME
    is_new = not path.exists()
    known = {} if is_new else _read(path)
    tokens = known | {slug: new_token() for slug in slugs if slug not in known}
    if tokens != known:
        _write(path, tokens)
    return tokens, is_new


def _read(path: Path) -> dict[str, str]:
    try:
        tokens = json.loads(path.read_text(encoding="utf-8"))["houses"]
        good = all(isinstance(t, str) and len(t) >= 20 and t.replace("-", "").replace("_", "").isalnum()
                   for t in tokens.values())
    except (ValueError, KeyError, TypeError, AttributeError):
        good = False
    if not good or len(set(tokens.values())) != len(tokens):
        raise TokensUnreadable(f"{path} is damaged, so the share links are not known. Put back a copy of it, or delete "
                               "it: then every house gets a new link")
    return tokens


def _write(path: Path, tokens: dict[str, str]) -> None:
    aside = path.with_name(path.name + ".part")
    text = json.dumps({"note": NOTE, "houses": dict(sorted(tokens.items()))}, indent=2) + "\n"
    with open(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as file:
        file.write(text)
    os.replace(aside, path)
