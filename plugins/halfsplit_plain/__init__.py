"""The plain adapter: the same pages in a frame of a few lines, without any site generator.

It is the proof that the generator can be exchanged, and what to read before writing another one.
"""
