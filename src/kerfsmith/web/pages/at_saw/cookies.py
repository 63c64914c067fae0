"""What a browser is bound to: the saw it stands at."""

SAW_COOKIE = "saw"
YEAR_S = 365 * 24 * 3600
