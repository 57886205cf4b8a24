"""halfsplit's core: a repair shop's records in, pages out. It knows nothing of any site generator."""
