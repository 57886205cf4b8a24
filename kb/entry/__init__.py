"""Records out of a form: what is asked, what is written, and that nothing else in a file changes.

The form only ever writes what `halfsplit check` reads; nothing here knows of a server.
"""
