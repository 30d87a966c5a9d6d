"""The date of a build, for output that depends on the inputs alone.

MkDocs writes the day of the build into the sitemap, its gzip header and some themes, unless
`SOURCE_DATE_EPOCH` says which day to write (https://reproducible-builds.org/specs/). A kit model
has no date, and file times differ between two clones; so without that variable the build runs
as of a fixed day, and the sitemap says nothing of when a page changed.
"""

from __future__ import annotations

import os
import re

VARIABLE = "SOURCE_DATE_EPOCH"
#: 1980-01-01, the earliest day that a zip archive can hold: plainly no real date.
FIXED_DAY = "315532800"


class BuildDate:
    """Fixes the day of a build from `begin` to `end`, where the publisher has not done so."""

    def __init__(self) -> None:
        self.fixed = False

    def begin(self) -> None:
        if VARIABLE not in os.environ:
            os.environ[VARIABLE] = FIXED_DAY
            self.fixed = True

    def end(self) -> None:
        if self.fixed:
            os.environ.pop(VARIABLE, None)
            self.fixed = False


def without_dates(sitemap: str) -> str:
    """A sitemap without the optional `lastmod` of its entries."""
    return re.sub(r"<lastmod>[^<]*</lastmod>", "", sitemap)
