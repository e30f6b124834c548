"""CPU of one house's production after imports, and what a neighbour saves by sharing the sun's path.

Run: .venv/bin/python -m tests.benchmark.measure_production
Figures are CPU seconds of this process and ratios within this one run; compare ratios, not seconds, between machines.
"""

from __future__ import annotations

import time
from pathlib import Path

from reportgen.chain import assess
from reportgen.climate.read import located, read_year
from reportgen.climate.sun import _sun_path
from reportgen.describe.assumptions import complete
from reportgen.describe.load import load_house
from reportgen.production.chain import produce
from reportgen.sizing import size

BATCH = Path(__file__).resolve().parents[2] / "sites" / "alder-lane"


def cpu(work) -> tuple[float, object]:
    begun = time.process_time()
    result = work()
    return time.process_time() - begun, result


def main() -> None:
    house = load_house(BATCH / "three-faces.yaml", BATCH).house
    neighbour = load_house(BATCH / "corner-house.yaml", BATCH).house
    import_only, _ = cpu(lambda: __import__("pvlib"))
    house, neighbour = located(house), located(neighbour)
    reading, year = cpu(lambda: read_year(house, BATCH))
    filled = size(complete(house)[0], lambda *_: 400.0).house
    first, _ = cpu(lambda: produce(filled, year))
    dirtier = filled.replaced("losses.dirt_percent", [4.0] * 12)
    again, _ = cpu(lambda: produce(dirtier, year))
    next_door, near_year = cpu(lambda: read_year(neighbour, BATCH))
    whole, _ = cpu(lambda: assess(house, year))
    shared = _sun_path.cache_info()
    print(f"imports still to come {import_only:.3f} s; year of sun {reading:.3f} s, at the neighbour {next_door:.3f} s "
          f"(ratio {next_door / reading:.2f})")
    print(f"production of three shaded faces {first:.3f} s, again with other losses {again:.4f} s (ratio {again / first:.3f})")
    print(f"reading and production together {reading + first:.3f} s; whole assessment with all reruns {whole:.3f} s")
    print(f"sun paths computed {shared.misses}, shared {shared.hits}")
    assert near_year is not None


if __name__ == "__main__":
    main()
