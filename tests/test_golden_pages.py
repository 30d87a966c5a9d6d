"""Pages of the demo say what they said when a person last read them (see golden_pages.py)."""

import pytest
from golden_pages import PAGES, golden_file, rendered


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    return rendered()


@pytest.mark.parametrize("uri", PAGES)
def test_page_reads_as_before(pages, uri):
    assert pages[uri] == golden_file(uri).read_text("utf-8")
