"""The MkDocs adapter: it adds the pages the core built to a MkDocs site, and decides nothing itself."""
