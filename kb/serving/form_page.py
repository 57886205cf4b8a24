"""The page of the entry form: a frame without any text of a record, which its script fills."""

from __future__ import annotations

import html

from kb.serving.files import OWN

_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex, nofollow">
<link rel="icon" href="data:,">
<meta name="hs-token" content="{token}">
<title>Write a record</title>
<link rel="stylesheet" href="{own}entry.css">
<script src="{own}entry-fields.js" defer></script>
<script src="{own}entry.js" defer></script>
</head>
<body>
<header><a href="/index.html">To the site</a></header>
<main>
<h1>Write a record</h1>
<form id="choose" autocomplete="off"><fieldset disabled>
<label>Kind <select id="kind">
<option value="fault">Fault</option><option value="job">Job</option><option value="part">Part</option>
<option value="model">Model</option><option value="guide">Guide</option></select></label>
<label>Its id <input id="id" list="ids" required spellcheck="false" autocapitalize="none"></label>
<datalist id="ids"></datalist>
<button type="submit">Begin</button>
<p class="help">The id is the name of the file: small letters, digits and hyphens, such as short-pulse.
An id that is there already is opened to be changed.</p>
</fieldset></form>
<p id="state" role="status"></p>
<form id="record" autocomplete="off" novalidate hidden>
<div id="fields"></div>
<div class="buttons">
<button type="button" id="check">Check</button>
<button type="button" id="show">Show what will be written</button>
</div>
</form>
<section id="problems" aria-live="polite" hidden><h2>To be mended</h2><ul></ul></section>
<section id="shown" hidden tabindex="-1"><h2></h2><pre tabindex="0"></pre>
<button type="button" id="write">Write</button></section>
<p id="done" role="status" tabindex="-1"></p>
</main>
<noscript><p>The form needs JavaScript; records can always be written in an editor.</p></noscript>
</body>
</html>
"""


def form_page(token: str) -> bytes:
    """The page, with the token that its requests have to carry."""
    return _PAGE.format(token=html.escape(token), own=OWN).encode()
