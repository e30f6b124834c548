"""Phrases that no report may hold, in any form: it checks arithmetic and promises nothing."""

FORBIDDEN = ("no more electric bill", "guaranteed saving", "free solar", "meets code", "meets the code", "code-compliant",
             "code compliant", "complies with", "is approved", "are approved", "is safe", "are safe")
