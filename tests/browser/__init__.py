"""Tests that read finished pages in a real browser, as the bench and the customer do."""
