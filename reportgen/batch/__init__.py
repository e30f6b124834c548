"""Many houses: which are stale, who works, what failed. Knows neither volts nor HTML."""
