"""Pages of an invented bench to search in: a few written by hand, and as many made up as a test needs."""

from __future__ import annotations

import random
import re
from collections import Counter
from itertools import accumulate

from kb.pages.pageset import Page, SearchText

HOSTILE_TITLE = "<script>document.title='broken'</script> & \"quoted\" </script>\u2028"


def page(
    path: str, title: str, strong: tuple[str, ...] = (), words: tuple[str, ...] = (), kind: str = "fault"
) -> Page:
    """A page that can be found."""
    return Page(path, title, kind, f"<h1>{len(title)}</h1>", search=SearchText(title, strong, words))


BENCH = (
    page(
        "faults/clock-stops.html",
        "Clock stops after ten minutes",
        ("sequencer stops when warm", "no clock at the output jack"),
        ("The timing capacitor of the 74LS123 leaks. Fit 100n film; pulse 10 ms at 4.7 kΩ.",),
    ),
    page(
        "faults/first-step-twice.html",
        "First step plays twice",
        ("the counter skips a step", "double trigger on step one"),
        ("Slow reset edge: the CD4017 counts it twice. The clock itself is good.",),
    ),
    page(
        "faults/hum-on-all-voices.html",
        "Hum on all voices",
        ("loud humming", "hums at 100 Hz"),
        ("The reservoir capacitor has dried out. Half-split the supply first.",),
    ),
    page(
        "faults/tape-runs-slow.html",
        "Tape runs slow",
        ("the repeats drop in pitch",),
        ("The belt has stretched. Serial SW16-0123 had it as well.",),
    ),
    page("parts/ls123-one-shot.html", "74LS123", ("dual retriggerable one-shot",), ("SN74LS123N",), "part"),
    page("parts/lm339-comparator.html", "LM339", ("quad comparator",), ("open collector",), "part"),
    page("parts/café-lamp.html", "Lamp of the Café front panel", (), ("dim lamp",), "part"),
    page("guides/read-a-note.html", "Which note is dead", (), ("Play every note. Tap each key.",), "guide"),
    page("guides/hostile.html", HOSTILE_TITLE, ("<img src=x onerror=alert(1)>",), (), "guide"),
    Page("about.html", "Not to be found: clock", "index", "<p>clock</p>"),
)

QUERIES = (
    *(
        "clock",
        "CLOCK",
        "clock stops",
        "stopping clock",
        "clokc",
        "stoped",
        "hums",
        "hum",
        "tap",
        "tape",
        "note",
    ),
    *("74ls123", "ls123", "123", "74LS12", "sw16", "0123", "SW16-0123", "lm339", "339"),
    *("half-split", "half split", "halfsplit", "half-splitting", "one shot", "oneshot"),
    *("10ms", "10 ms", "100n", "100 nF", "4k7", "4.7k", "4.7 kΩ", "4k7 timing"),
    *("café", "cafe", "CAFÉ", "capac", "capacitors dried", "comparitor", "reservior", "rese", "s", "st"),
    *(
        "",
        "   ",
        "???",
        "the",
        "the of and",
        "🙂",
        "*",
        "st*",
        "<script>",
        "</script>",
        '"',
        "a-",
        "--",
        "1.",
        "İ",
    ),
    *("constructor", "__proto__", "toString", "x" * 500, "clock " * 60, "clock\nstops\tten", "didn't", "µ ω"),
    "sequencer stops when warm after ten minutes no clock at the output jack leaks",
)
"""What people type, and what they might: asked of Python and of the browser alike."""


LOOK_ALIKES = (
    "stop stops stopped stopping stopper stopwatch tap taps tapped tape tapes note notes noted not "
    "nothing hum hums humming hume half split halfsplit half-split splitting clock clocks clocked "
    "clockface block clack switch switches switching fuse fuses fused fusible oscillate oscillator "
    "oscillating oscillation comparator comparators compare key keys keyed keying keyboard gate gates "
    "gated gating 10 ms 10ms 100 nF 100n 4k7 4.7 kΩ 4.7k 74LS123 74LS132 LS123 123 NE555 555 CD4538 "
    "speed speeds led leads dead deaf leaf one-shot oneshot café cafe"
)
"""Words that are easily taken for each other, and some of them are the same."""


def look_alike_queries(count: int, seed: int = 7) -> list[str]:
    """Queries of one to four of the words that are easily taken for each other, some cut short."""
    chance = random.Random(seed)
    words = LOOK_ALIKES.split()
    queries = [" ".join(chance.choices(words, k=1 + number % 4)) for number in range(count)]
    return words + [text[: len(text) - number % 3] for number, text in enumerate(queries)]


def made_up_pages(count: int, text: str, seed: int = 5) -> list[Page]:
    """Fault pages in the words of `text`, each as often as there, and rare ones pieced together from them."""
    chance = random.Random(seed)
    often = Counter(re.findall("[a-z]{2,}", text.lower()))
    known = sorted(often)
    heads, tails = ([word[:3] for word in known], [word[3:] for word in known if len(word) > 5])
    rare = sorted({chance.choice(heads) + chance.choice(tails) for _ in range(6 * len(known))})
    words, shares = known + rare, list(accumulate([2 * often[word] for word in known] + [1] * len(rare)))

    def written(length: int) -> str:
        return " ".join(chance.choices(words, cum_weights=shares, k=length))

    return [
        page(
            f"faults/fault-{number:05d}.html",
            written(5).capitalize(),
            (written(7), written(7), written(7), f"SW{number % 30}-{number:04d}"),
            (written(220), f"R{number % 90} 74LS123 {number % 70} ms {number % 9}k{number % 7}"),
        )
        for number in range(count)
    ]
