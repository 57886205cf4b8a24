"""Tests of the diagnosis: worked rows, properties of random cases, and cases made from records."""
