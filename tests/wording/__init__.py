"""Tests of how what people write is read as words."""
