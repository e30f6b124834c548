"""Connecting the array to the house: can the panel's busbar take the inverter, by which clause of which edition."""
