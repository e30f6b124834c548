"""Rooftop-solar feasibility reports, one house at a time.

The two names a caller needs are found lazily, so that ``python3 -m reportgen.bootstrap`` runs on a
machine where nothing is installed yet and ``--help`` does not pay for pvlib.
"""

__version__ = "0.1.0"
__all__ = ["__version__", "assess", "load_house"]


def __getattr__(name):
    if name == "assess":
        from reportgen.chain import assess
        return assess
    if name == "load_house":
        from reportgen.describe.load import load_house
        return load_house
    raise AttributeError(f"module 'reportgen' has no attribute {name!r}")
