"""load_house: one YAML file, its batch's defaults and its tariff -> a House with positions, or all that is wrong."""

from __future__ import annotations

import os
import re
import unicodedata
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import ValidationError

from reportgen.describe import meter_file, sentences
from reportgen.describe.assumptions import Assumption, complete
from reportgen.describe.batch_file import BATCH_FILE, read_batch
from reportgen.describe.inside import inside
from reportgen.describe.merge import merged, without_nothing
from reportgen.describe.models import House
from reportgen.describe.photos import FILE_NAME
from reportgen.describe.problems import MOST_SHOWN, HouseFileError, Problem, dotted, in_order, printable, shown_name
from reportgen.describe.tariff_checks import FULL_NEEDED, SHORT_NEEDED
from reportgen.describe.yaml_reader import Spot, read_yaml

TARIFFS, PHOTOS, METER = "tariffs", "photos", "meter"
WHOLE_TARIFFS = (set(SHORT_NEEDED), set(FULL_NEEDED))   # a plan of its own, not a change to the batch's


@dataclass(frozen=True)
class Described:
    """What one house file says.

    house: as said, with nothing assumed yet (`assess` fills it); None where there are problems.
    assumptions: what `complete` fills, for `check`.
    where: "roof.0.slope_deg" -> (file, line, column) of every value said; file names as seen from the batch folder.
    inputs: every file read: the house, batch.yaml, the tariff, the weather file, the meter file, the photos.
    """

    house: House | None
    problems: tuple[Problem, ...]
    assumptions: tuple[Assumption, ...]
    where: dict[str, Spot]
    inputs: tuple[Path, ...]
    path: Path
    folder: Path
    slug: str

    def needed(self) -> House:
        """The house, or HouseFileError with all problems."""
        if self.house is None:
            raise HouseFileError(self.problems)
        return self.house


def load_house(path, batch_folder=None) -> Described:
    """Read and check one house. Never raises for what files hold: see `problems`.

    path: the house file. batch_folder: where batch.yaml, tariffs/ and weather/ lie; the file's own folder if None.
    """
    path = Path(path)
    return _Reading(path, path.parent if batch_folder is None else Path(batch_folder)).described()


def slug_of(path: Path) -> str:
    """The file's name as lower-case ASCII letters, digits and hyphens: "São Paulo.yaml" -> "sao-paulo"."""
    folded = unicodedata.normalize("NFKD", path.stem).encode("ascii", "ignore").decode().lower()
    return re.sub("[^a-z0-9]+", "-", folded).strip("-")[:60].strip("-") or "house"


def _paths(data, path: tuple):
    yield path
    for key, inner in data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ():
        yield from _paths(inner, (*path, key))


class _Reading:
    """One house being read: what was found so far."""

    def __init__(self, path: Path, folder: Path):
        self.path, self.folder = path, folder
        self.problems: list[Problem] = []
        self.broken: set[tuple] = set()      # paths that already have a problem of their own
        self.whole = True                    # False where a file could not be read to its end
        self.inputs: list[Path] = []
        self.where: dict[tuple, Spot] = {}
        self.from_batch: dict[str, str] = {}   # name as shown -> name from the batch folder
        self.top = Spot(self._name(path), 1, 1)

    def described(self) -> Described:
        house = self._house()
        problems = in_order(self.problems)
        if problems:
            house = None
        where = {dotted(p): s._replace(file=self.from_batch[s.file]) for p, s in self.where.items() if p}
        return Described(house, problems, complete(house)[1] if house is not None else (), where,
                         tuple(self.inputs), self.path, self.folder, slug_of(self.path))

    def _name(self, path: Path) -> str:
        shown = shown_name(path, self.folder)
        inside_batch = path.is_relative_to(self.folder)
        self.from_batch[shown] = printable(path.relative_to(self.folder).as_posix() if inside_batch else path.name)
        return shown

    def _note(self, spot: Spot, path: tuple, message: str) -> None:
        self.problems.append(Problem(*spot, dotted(path), message))
        if path:
            self.broken.add(path)

    def _house(self) -> House | None:
        if self.path.name == BATCH_FILE:
            self.problems.append(Problem(self.top.file, None, None, "", "this file holds what the houses of a batch share; "
                                         "the name of a house file is expected"))
            return None
        said = read_yaml(self.path, self.top.file)
        self._keep(self.path, said.problems, said.broken, said.complete)
        if not isinstance(said.data, dict):
            if said.complete:
                self._note(self.top, (), f"found {sentences.shown(said.data)}; a house file holds keys such as name, place "
                           "and roof, each followed by a colon")
            return None
        named = self._resolve_tariffs(said.data, said.where)
        inline = said.data.get("tariff")
        alone = named or (isinstance(inline, dict) and any(whole <= inline.keys() for whole in WHOLE_TARIFFS))
        defaults, where_defaults = self._defaults(keep_tariff=not alone)
        data, self.where = merged(said.data, defaults, said.where, where_defaults)
        data = without_nothing(data)
        said_at = set(_paths(data, ()))
        house = self._validated(data)
        if house is not None:
            self.where = {path: spot for path, spot in self.where.items() if path in said_at}
        return house

    def _keep(self, path: Path, problems, broken, complete: bool) -> None:
        if path not in self.inputs:    # one tariff may be named twice
            self.inputs.append(path)
        self.problems += problems
        self.broken |= broken
        self.whole = self.whole and complete

    def _defaults(self, keep_tariff: bool) -> tuple[dict, dict]:
        batch = read_batch(self.folder)
        if batch.path is None:
            return {}, {}
        self._name(batch.path)
        self._keep(batch.path, batch.problems, batch.broken, batch.complete)
        if keep_tariff:
            self._resolve_tariffs(batch.defaults, batch.where)
        else:   # a tariff of the house's own stands alone: nothing of another plan, or of another utility's, is mixed in
            batch.defaults.pop("tariff", None)
            batch.defaults.pop("plans_with_solar", None)
        return batch.defaults, batch.where

    def _resolve_tariffs(self, data: dict, where: dict[tuple, Spot]) -> bool:
        """Put tariffs/NAME.yaml in the place of each name. True where `tariff` was named."""
        plans = data.get("plans_with_solar")
        for i in range(len(plans) if isinstance(plans, list) else 0):
            self._resolve_tariff(plans, i, ("plans_with_solar", i), where)
        return self._resolve_tariff(data, "tariff", ("tariff",), where)

    def _resolve_tariff(self, holder: dict | list, key: str | int, at: tuple, where: dict[tuple, Spot]) -> bool:
        name = holder[key] if isinstance(holder, list) else holder.get(key)
        if not isinstance(name, str) or at in self.broken:
            return False
        path, wrong = self._tariff_file(name)
        if wrong:
            self._note(where[at], at, f"found {sentences.shown(name)}; {wrong}")
            return True
        shown = self._name(path)
        tariff = read_yaml(path, shown)
        problems = [replace(p, path=f"{dotted(at)}.{p.path}" if p.path else dotted(at)) for p in tariff.problems]
        self._keep(path, problems, {(*at, *p) for p in tariff.broken}, tariff.complete)
        if isinstance(tariff.data, dict):
            holder[key] = tariff.data
            where.update({(*at, *p): s for p, s in tariff.where.items()})
        elif tariff.complete:
            self._note(Spot(shown, 1, 1), at, f"found {sentences.shown(tariff.data)}; keys such as price_per_kwh, each followed by "
                       "a colon, are expected")
        else:
            self.broken.add(at)
        return True

    def _tariff_file(self, name: str) -> tuple[Path | None, str]:
        path, wrong = inside(self.folder, name)
        if wrong:
            return None, wrong
        if "/" in name or "\\" in name:
            return None, f"the name of a file in {TARIFFS}/ is expected, without a folder"
        stem = name.removesuffix(".yaml")
        path, wrong = inside(self.folder, f"{TARIFFS}/{stem}.yaml")
        if wrong or os.path.isfile(path):
            return path, wrong
        have = sorted(p.stem for p in (self.folder / TARIFFS).glob("*.yaml"))
        near = sentences.nearest(stem, have)
        hint = f"; the nearest is {near}" if near else f"; there are {', '.join(have[:10])}" if have else ""
        return None, printable(f"there is no {TARIFFS}/{stem}.yaml in the batch{hint}")

    def _validated(self, data: dict) -> House | None:
        self._check_weather_file(data)
        self._check_photo_files(data)
        self._check_meter_file(data)
        try:
            return House.model_validate(data)
        except ValidationError as failed:
            errors = failed.errors(include_url=False)
        unknown = [tuple(e["loc"]) for e in errors if e["type"] == "extra_forbidden"][:MOST_SHOWN]
        meant = {(*path[:-1], near) for path in unknown for near in sentences.meant(path)}
        before = len(self.problems)
        for error in sorted(errors, key=lambda e: self._spot(tuple(e["loc"]))):
            path = tuple(error["loc"])
            if path[-1:] and isinstance(path[-1], int) and path not in self.where:
                path = path[:-1]   # one number was written for twelve months
            if not self._follows_from_another(error, path) and not (error["type"] == "missing" and path in meant):
                many = len(self.problems) - before > MOST_SHOWN   # only counted then: looking for the nearest key takes time
                message = "a problem here too" if many else sentences.sentence(error, path, path in self.where)
                self.problems.append(Problem(*self._spot(path), dotted(path), message))
        return None

    def _follows_from_another(self, error: dict, path: tuple) -> bool:
        """What seems wrong here may be right once another problem is mended."""
        if any(path[:len(b)] == b for b in self.broken):
            return True
        if error["type"] in ("missing", "value_error", "too_short"):
            return not self.whole or any(b[:len(path)] == path for b in self.broken)
        return False

    def _check_weather_file(self, data: dict) -> None:
        weather = data.get("weather")
        name = weather.get("file") if isinstance(weather, dict) else None
        key = ("weather", "file")
        if not isinstance(name, str) or key in self.broken:
            return
        path, wrong = inside(self.folder, name)
        if not wrong and not os.path.isfile(path):
            wrong = "there is no such file in the batch folder"
        if wrong:
            self._note(self.where[key], key, f"found {sentences.shown(name)}; {wrong}")
        else:
            self.inputs.append(path)

    def _check_photo_files(self, data: dict) -> None:
        """Whether each photo is there; what is in it, `report.photos` looks at when a sheet or `check` needs it."""
        photos = data.get("photos")
        for number, photo in enumerate(photos if isinstance(photos, list) else ()):
            name = photo.get("file") if isinstance(photo, dict) else None
            key = ("photos", number, "file")
            if not isinstance(name, str) or not re.match(FILE_NAME, name) or key in self.broken:
                continue     # no name of a photo: the model says so
            path, wrong = inside(self.folder, f"{PHOTOS}/{name}")
            if not wrong and not os.path.isfile(path):
                wrong = f"there is no such file in {PHOTOS}/ of the batch; put the photo there under this name, or leave this entry out"
            if wrong:
                self._note(self._spot(key), key, f"found {sentences.shown(name)}; {wrong}")
            elif path not in self.inputs:
                self.inputs.append(path)

    def _check_meter_file(self, data: dict) -> None:
        """Whether it is there; what is in it is read beside the weather."""
        use = data.get("use")
        asked = use.get("meter_file") if isinstance(use, dict) else None
        name, key = asked.get("file") if isinstance(asked, dict) else None, ("use", "meter_file", "file")
        if not isinstance(name, str) or not re.match(meter_file.FILE_NAME, name) or key in self.broken:
            return
        path, wrong = inside(self.folder, f"{METER}/{name}")
        if not wrong and not os.path.isfile(path):
            wrong = f"there is no such file in {METER}/ of the batch; put the meter's file there under this name"
        if wrong:
            self._note(self._spot(key), key, f"found {sentences.shown(name)}; {wrong}")
        else:
            self.inputs.append(path)

    def _spot(self, path: tuple) -> Spot:
        """Of the value, or of the nearest section around it that stands in a file."""
        if not path and ("place", "country") in self.where:   # a rule of the whole house hangs on its country
            return self.where[("place", "country")]
        while path and path not in self.where:
            path = path[:-1]
        return self.where.get(path, self.top)
