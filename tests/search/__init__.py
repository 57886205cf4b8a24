"""Tests of the site's search, asked in Python over the files that the browser loads."""
