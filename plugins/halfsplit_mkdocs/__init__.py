"""The MkDocs adapter: gives the pages that `kb` made a frame, and decides nothing."""
