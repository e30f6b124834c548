"""A stand-in for the satellite service on this machine: answers as told, and counts what it was asked."""

from __future__ import annotations

import json
import threading
from contextlib import contextmanager
from functools import cache
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pandas as pd

from reportgen.climate.sun import sun_at

LEVELS = {2014: 1.00, 2015: 1.04, 2016: 0.96, 2017: 1.02, 2018: 0.98}   # brightness of a year; others as 1.00


@cache
def hours(start: str, end: str, latitude: float, longitude: float) -> pd.DataFrame:
    """Clear days, dimmer or brighter by the year; the sun stands at half past the hour that begins."""
    index = pd.date_range(start, f"{end[:4]}-{end[4:6]}-{end[6:]} 23:00", freq="h", tz="UTC")
    sun = sun_at(index + pd.Timedelta(minutes=30), latitude, longitude, 200.0)
    up = np.maximum(np.cos(np.radians(sun.zenith_deg)), 0.0)
    level = np.array([LEVELS.get(year, 1.0) for year in index.year])
    dni, dhi = 600.0 * (up > 0.05) * level, 100.0 * up * level
    return pd.DataFrame({"ALLSKY_SFC_SW_DNI": dni, "ALLSKY_SFC_SW_DIFF": dhi, "ALLSKY_SFC_SW_DWN": dni * up + dhi,
                         "T2M": 15.0, "WS10M": 3.0}, index=index)


def answer(asked: dict[str, str]) -> dict:
    data = hours(asked["start"], asked["end"], float(asked["latitude"]), float(asked["longitude"]))
    stamps = data.index.strftime("%Y%m%d%H")
    return {"geometry": {"coordinates": [float(asked["longitude"]), float(asked["latitude"]), 200.0]},
            "header": {"fill_value": -999.0}, "times": {}, "parameters": {},
            "properties": {"parameter": {name: dict(zip(stamps, data[name].round(2).tolist(), strict=True))
                                         for name in data}}}


class Service:
    """`reply` (asked -> bytes, status) may be changed between requests."""

    def __init__(self):
        self.asked: list[dict[str, str]] = []
        self.reply = lambda asked: (json.dumps(answer(asked)).encode(), 200)
        self.released = threading.Event()     # for a slow reply, so that no thread outlives its test
        self.url = ""


@contextmanager
def service():
    stub = Service()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            asked = {key: values[0] for key, values in parse_qs(urlsplit(self.path).query).items()}
            stub.asked.append(asked)
            body, status = stub.reply(asked)
            try:
                self.send_response(status)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)
            except OSError:
                pass                          # the asker has given up

        def log_message(self, *_):
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True)
    thread.start()
    stub.url = f"http://127.0.0.1:{server.server_port}/hourly"
    try:
        yield stub
    finally:
        stub.released.set()
        server.shutdown()
        server.server_close()
        thread.join()
