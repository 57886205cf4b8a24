"""`halfsplit serve`: the shop's site on this machine, made anew after every edit.

Nothing of it is ever in a built site, and nothing of it is reached from another machine.
"""
