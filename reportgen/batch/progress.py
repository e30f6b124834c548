"""Say how far a run is: a bar in a terminal, plain lines when piped."""

from __future__ import annotations

import sys
from contextlib import contextmanager

from reportgen.batch.record import Record


@contextmanager
def progress(total: int, out=None):
    """Gives the function to call with each finished house: ``tell(batch name, record)``."""
    out = out or sys.stdout
    if not out.isatty():
        yield lambda batch, record: print(*_lines(batch, record), sep="\n", file=out, flush=True)
        return
    from tqdm import tqdm
    with tqdm(total=total, unit=" houses", file=out, leave=False, dynamic_ncols=True,
              bar_format="{desc} {bar} {n_fmt} of {total_fmt} houses, {remaining} to go") as bar:
        def tell(batch: str, record: Record) -> None:
            if record.failures:
                bar.write("\n".join(_lines(batch, record)), file=out)
            bar.set_description_str(f"{batch}/{record.slug}", refresh=False)
            bar.update()
        yield tell


def _lines(batch: str, record: Record) -> list[str]:
    return [f"{batch}/{record.slug}: {record.state}", *(f"  {line}" for line in record.failures)]
