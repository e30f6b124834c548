"""Use by the hour, the tariff, and the bill of a year before and after the sun."""
