"""The command line. Each command imports what it needs when it runs, so that help and check answer at once."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

WELL, SOME_FAILED, WRONG_USE = 0, 1, 2
SITES, OUTPUT = Path("sites"), Path("output")


class WrongUse(Exception):
    """The command line asks for something that can't be; the text says what was expected."""


def main(arguments: list[str] | None = None) -> int:
    """Exit code: 0 all well, 1 some house failed, 2 wrong usage."""
    given = sys.argv[1:] if arguments is None else arguments
    asked = _parser(given).parse_args(given)
    try:
        return asked.run(asked)
    except WrongUse as error:
        print(f"reportgen {asked.command}: {error}", file=sys.stderr)
        return WRONG_USE
    except KeyboardInterrupt:
        print("Stopped. What was finished stands; run the same command again to go on.", file=sys.stderr)
        return SOME_FAILED
    except BrokenPipeError:      # the reader of a pipe went away, as `| head` does
        sys.stdout = None
        return SOME_FAILED
    except OSError as error:     # a name too long, a folder that may not be read, a full disk
        where = f" ({Path(error.filename).name[:80]})" if error.filename else ""
        print(f"reportgen {asked.command}: {error.strerror or error}{where}", file=sys.stderr)
        return WRONG_USE


def _parser(given: list[str]) -> argparse.ArgumentParser:
    from reportgen import __version__
    parser = argparse.ArgumentParser(
        prog="reportgen", formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Rooftop-solar feasibility reports: one YAML file a house in, a web page and a PDF out.",
        epilog="In this order:\n"
               "  reportgen draft sites/my-street/elm.yaml   answer a few questions; writes the house file\n"
               "  reportgen check sites/my-street            what is wrong, what was assumed; builds nothing\n"
               "  reportgen make                             builds every house under sites/ into output/\n"
               "  reportgen show                             look at it in the browser on this machine\n\n"
               "'reportgen COMMAND --help' tells more. Exit code: 0 all well, 1 some house failed, 2 wrong usage.")
    parser.add_argument("--version", action="version", version=f"reportgen {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _add_draft(commands, given)
    _add_check(commands)
    _add_make(commands)
    _add_show(commands)
    return parser


def _add_draft(commands, given: list[str]) -> None:
    command = commands.add_parser(
        "draft", help="start a house file by answering a few questions",
        description="Asks the few things that a first report needs and writes a house file, with a commented line for every "
                    "further fact that would narrow the answer. What is given as an option is not asked.")
    command.add_argument("file", nargs="?", type=Path, metavar="FILE",
                         help="the house file to write; a new file under sites/my-houses/ if left out")
    if given[:1] == ["draft"]:       # the questions bring the house's models with them; the other commands need neither
        from reportgen.describe.draft import QUESTIONS
        for question in QUESTIONS:
            command.add_argument("--" + question.key.replace("_", "-"), metavar="ANSWER",
                                 help=f"{question.asks} {question.help}".replace("%", "%%"))
    command.set_defaults(run=_draft)


def _draft(asked) -> int:
    from datetime import date

    from reportgen.describe.draft import QUESTIONS, DraftError, collect_answers, draft_text
    from reportgen.describe.load import slug_of
    if asked.file:
        _refuse_unless_new(asked.file)
    given = {question.key: getattr(asked, question.key) for question in QUESTIONS}
    try:
        answers = collect_answers({"report_day": date.today().isoformat(), **given}, input if sys.stdin.isatty() else None)
    except DraftError as error:
        raise WrongUse(error) from None
    path = asked.file or SITES / "my-houses" / f"{slug_of(Path(answers['name'] + '.yaml'))}.yaml"
    _refuse_unless_new(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(draft_text(answers), encoding="utf-8")
    except OSError as error:
        raise WrongUse(f"{path} can't be written: {error.strerror}") from None
    _print(f"Wrote {path}. Open it and fill in what you know, then: reportgen check {path}")
    return WELL


def _refuse_unless_new(path: Path) -> None:
    from reportgen.batch.find import is_house_name
    if not is_house_name(path.name):
        raise WrongUse(f"{path}: the name of a house file is expected: it ends in .yaml and is not batch.yaml")
    if path.exists():
        raise WrongUse(f"{path} is there already and is not written over; give another name")


def _add_paths(command) -> None:
    command.add_argument("paths", nargs="*", type=Path, metavar="PATH", default=[SITES],
                         help="a house file, a batch (folder of house files) or a folder of batches; sites/ if left out")


def _add_check(commands) -> None:
    command = commands.add_parser(
        "check", help="say what is wrong in house files and what was assumed; builds nothing",
        description="Reads house files and says every problem at once, with file, line and column. For a file without "
                    "problems it says what is assumed for each missing fact and how to find it out. Builds nothing.")
    _add_paths(command)
    command.set_defaults(run=_check)


def _check(asked) -> int:
    from reportgen.describe.explain import explain
    from reportgen.describe.load import load_house
    failed = 0
    for batch in _batches(asked.paths):
        for path in batch.asked:
            described = load_house(path, batch.folder)
            problems = described.problems or (*_photo_problems(described), *_meter_problems(described, batch.folder))
            if problems:
                failed += 1
                _print(f"{batch.name}/{path.name}: {_count(len(problems), 'problem')}")
                _print(*(f"  {problem.text()}" for problem in problems))
            else:
                _print(f"{batch.name}/{path.name}: no problem found")
                _print(*(f"  {line}" if line else "" for line in explain(described)))
    return SOME_FAILED if failed else WELL


def _photo_problems(described):
    if not described.house.photos:      # opening pictures needs a library that nothing else here does
        return ()
    from reportgen.report.photos import read_photos
    return read_photos(described)[1]


def _meter_problems(described, folder: Path):
    if described.house.use.meter_file is None:      # a meter file may hold a hundred megabytes
        return ()
    from reportgen.bills.errors import UseError
    from reportgen.bills.meter.errors import MeterFileError
    from reportgen.bills.meter_year import read_use, with_readings
    from reportgen.describe.problems import Problem
    try:
        with_readings(described.house, read_use(described.house, folder))
    except (UseError, MeterFileError) as error:
        file, line, column = described.where.get("use.meter_file.file") or described.where["use"]
        return (Problem(file, line, column, "use.meter_file", str(error)),)
    return ()


def _add_make(commands) -> None:
    command = commands.add_parser(
        "make", help="build the reports of all houses",
        description="Builds a web page and a PDF for each house, and one page over all houses for the coach. A house that "
                    "has not changed is not built again; a house that fails does not stop the others.")
    _add_paths(command)
    command.add_argument("--to", type=Path, metavar="FOLDER", default=OUTPUT, help="where to build; output/ if left out")
    command.set_defaults(run=_make)


def _make(asked) -> int:
    from reportgen.batch.make import make_sites
    from reportgen.batch.progress import progress
    from reportgen.bootstrap import PDF_REMEDY, missing_pdf_libraries
    batches = _batches(asked.paths)
    if asked.to.exists() and not asked.to.is_dir():
        raise WrongUse(f"--to {asked.to}: a folder is expected, this is a file")
    missing = missing_pdf_libraries()
    with progress(sum(len(batch.asked) for batch in batches)) as tell:
        outcomes = make_sites(batches, asked.to, not missing, tell)
    for outcome in outcomes:
        if outcome.stopped:
            _print(outcome.stopped)
            continue
        _print(*(f"{outcome.name}: {note}" for note in outcome.notes))
        _print(f"{outcome.name}: look at {outcome.coach_page}")
    if missing:
        _print(f"No PDF was made. Missing on this machine: {', '.join(missing)}. Run the one line for your system, then make "
               f"again:\n{PDF_REMEDY}")
    return WELL if all(outcome.is_well for outcome in outcomes) else SOME_FAILED


def _add_show(commands) -> None:
    command = commands.add_parser(
        "show", help="look at what was built, in the browser on this machine",
        description="Serves what was built to this machine alone and says the address to open. Ctrl-C ends it.")
    command.add_argument("folder", nargs="?", type=Path, metavar="FOLDER", default=OUTPUT,
                         help="what make built into; output/ if left out")
    command.set_defaults(run=_show)


def _show(asked) -> int:
    from reportgen.show import coach_pages, serve
    if not coach_pages(asked.folder):
        raise WrongUse(f"{asked.folder}: nothing was built here yet; run 'reportgen make' first")
    serve(asked.folder)
    return WELL


def _batches(paths: list[Path]):
    from reportgen.batch.find import WrongPath, find_batches
    try:
        return find_batches(paths)
    except WrongPath as error:
        raise WrongUse(error) from None


def _count(number: int, word: str) -> str:
    return f"{number:,} {word}" if number == 1 else f"{number:,} {word}s"


def _print(*lines: str) -> None:
    for line in lines:
        print(line)
