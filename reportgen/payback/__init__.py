"""Incentives by dated law, and the cash of a bought system year by year."""
