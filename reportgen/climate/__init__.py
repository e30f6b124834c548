"""Sun and air: 8,760 hours at one place. `read.read_year` is what the chain calls; production shares `sun`."""
