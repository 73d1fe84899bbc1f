"""The priors that are shipped."""

import tomllib
from importlib import resources

from crustbreak.domain.sheets.priors import Priors, read_priors

_FILE = resources.files("crustbreak") / "data" / "priors" / "ten_line.toml"
TEN_LINE: Priors = read_priors(tomllib.loads(_FILE.read_text(encoding="utf-8")), name="ten_line")
