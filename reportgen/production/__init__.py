"""From a year of sun and air to kWh at the meter: `chain.produce`."""
