"""How what people write is read as words: folding, stems, and phrases that mean the same.

The lowest layer, and quick to import: the terminal's search waits for nothing else.
"""
