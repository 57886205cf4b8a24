"""The MkDocs plugin `halfsplit`: adds the pages of a shop to a site, and nothing but adding.

Which pages there are, what they say and who may see them is settled in `kb` before MkDocs has read a
single file. The shop's records lie outside `docs_dir`; Markdown that lies in it is not made a page.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import escape
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.toc import get_toc

from halfsplit_mkdocs.compiled import COMPILED
from halfsplit_mkdocs.frames import frames_for
from kb.handbook import handbook_folder
from kb.pages import Page as KbPage
from kb.pages import PageSet, build_site, relative
from kb.pages.store import Store
from kb.shop import load_shop

if TYPE_CHECKING:
    from collections.abc import Iterable

    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.pages import Page
    from mkdocs.structure.toc import TableOfContents, _TocToken
    from mkdocs.utils.templates import TemplateContext

    from kb.problems import Problem
from kb.reading.last_changed import last_changes

log = get_plugin_logger(__name__)

_TOP = "hs-main"
# The theme's own search needs a worker and, from the disk, a script of another host. Ours replaces it.
_UNUSED_THEME_FILES = ("assets/javascripts/lunr/", "assets/javascripts/workers/")
# Sources of the theme for its makers, full of addresses of other hosts.
_SOURCE_MAPS = (".js.map", ".css.map")


class BrokenRecords(PluginError):  # noqa: N818 - it says what is wrong
    """The shop cannot be made a site; `problems` are all the reasons."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(_as_lines(self.problems))


class HalfsplitConfig(Config):  # type: ignore[no-untyped-call]  # MkDocs' metaclass has no types
    """The plugin's options. None of them touches cautions or audiences."""

    shop = config_options.Type(str, default=".")
    """The shop folder, relative to mkdocs.yml."""


class HalfsplitPlugin(BasePlugin[HalfsplitConfig]):  # type: ignore[no-untyped-call]
    """One build: the page set is made in `on_config`, before MkDocs empties the old site."""

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the shop and make its pages; with a problem in it nothing of the old site is touched."""
        if config.theme.name != "material":
            raise PluginError(
                "halfsplit: the frame is made for the theme material; set theme: name: material"
            )
        base = Path(config.config_file_path).parent
        root = (base / self.config.shop).resolve()
        self.page_set = self._page_set(root)
        self.by_source = {_source(page): page for page in self.page_set.pages}
        # The theme prints the name escaped in some places and as it is in others; this is right in both.
        config.site_name = escape(self.page_set.name)
        # Pages must open from the disk, where a folder has no index page of its own.
        config.use_directory_urls = False
        config.theme.dirs.insert(_behind_own_templates(config), str(Path(__file__).parent / "templates"))
        _set_theme(config)
        config.extra_css[:0] = [*self.page_set.styles, "halfsplit/frame.css"]
        config.extra_javascript[:0] = list(self.page_set.scripts)
        config.nav = [{section.title: _source_of(section.path)} for section in self.page_set.sections]
        config.watch.extend(
            str(folder) for folder in (root, handbook_folder()) if str(folder) not in config.watch
        )
        self.frames = frames_for(config, self.page_set, Store(root))
        return config

    def _page_set(self, root: Path) -> PageSet:
        shop, problems = load_shop(root, handbook_folder())
        page_set = None
        if shop is not None:
            page_set, problems = build_site(
                shop, root / ".halfsplit" / "figures", Store(root), last_changes(root)
            )
        if page_set is None:
            raise BrokenRecords(problems)
        for disagreement in page_set.disagreements:
            log.warning(str(disagreement))
        return page_set

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Put our pages in the place of whatever Markdown lies in `docs_dir`."""
        for file in list(files):
            is_unused = file.src_uri.startswith(_UNUSED_THEME_FILES) or file.src_uri.endswith(_SOURCE_MAPS)
            if file.is_documentation_page() or is_unused:
                files.remove(file)
        sections = {_source_of(section.path) for section in self.page_set.sections}
        for source, page in self.by_source.items():
            # What stands in the navigation has to be a page to MkDocs, every time.
            finished = None if source in sections else self.frames.finished(page)
            if finished is not None:
                files.append(File.generated(config, page.path, content=finished.encode()))
                continue
            level = InclusionLevel.INCLUDED if source in sections else InclusionLevel.NOT_IN_NAV
            files.append(File.generated(config, source, content="", inclusion=level))
        for asset in self.page_set.assets:
            files.append(File.generated(config, asset.path, content=asset.content))
        frame = Path(__file__).parent / "frame.css"
        files.append(File.generated(config, "halfsplit/frame.css", content=frame.read_bytes()))
        return files

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Give the page its title; the theme prints it without escaping, so it is escaped here."""
        del markdown, config, files
        made = self.by_source[page.file.src_uri]
        page.meta["title"] = escape(made.title)
        page.meta["description"] = escape(made.summary)
        return ""

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Give the page its body and its table of contents."""
        del html, config, files
        made = self.by_source[page.file.src_uri]
        page.toc = _table_of_contents(made)
        return f'<div class="hs-page hs-kind-{made.kind}" id="{_TOP}">\n{made.body}\n</div>'

    def on_page_context(
        self, context: TemplateContext, *, page: Page, config: MkDocsConfig, nav: Any
    ) -> TemplateContext:
        """Tell the frame where the site's root is and which section the page belongs to."""
        del config, nav
        path = _address(page.file.src_uri)
        # A TemplateContext names only MkDocs' own keys; a template may be given more.
        more: dict[str, Any] = context  # type: ignore[assignment]
        more["hs_root"] = relative("index.html", path).removesuffix("index.html") or "./"
        more["hs_sections"] = [
            {
                "title": section.title,
                "href": relative(section.path, path),
                "here": _belongs(path, section.path),
            }
            for section in self.page_set.sections
        ]
        return context

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Compile no template twice in a process."""
        del config, files
        env.bytecode_cache = COMPILED
        return env

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Keep the frame for the next build."""
        del config
        self.frames.add(self.by_source[page.file.src_uri], output)
        return output

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """All pages are written."""
        del config
        self.frames.keep()

    def on_post_template(self, output_content: str, *, template_name: str, config: MkDocsConfig) -> str:
        """No site map: it would carry the day of the build, and this site is not for search engines.

        No page for wrong addresses either: its links only lead somewhere at the root of a web server.
        """
        del config
        return "" if template_name in ("sitemap.xml", "404.html") else output_content


def _as_lines(problems: Iterable[Problem]) -> str:
    lines = [str(problem) for problem in problems]
    return "\n".join([f"halfsplit: {len(lines)} found in the records; nothing was written", *lines])


def _source_of(path: str) -> str:
    return path.removesuffix(".html") + ".md"


def _source(page: KbPage) -> str:
    return _source_of(page.path)


def _address(source: str) -> str:
    return source.removesuffix(".md") + ".html"


def _belongs(path: str, section: str) -> bool:
    folder = section.rpartition("/")[0]
    return path == section or (bool(folder) and path.startswith(f"{folder}/"))


def _table_of_contents(page: KbPage) -> TableOfContents:
    # The theme's link past the bars goes to the first entry: the whole page, with the cautions on top.
    tokens: list[_TocToken] = []
    top: _TocToken = {"level": 1, "id": _TOP, "name": escape(page.title), "children": tokens}
    for heading in page.headings:
        token: _TocToken = {
            "level": heading.level,
            "id": heading.anchor,
            "name": str(escape(heading.text)),
            "children": [],
        }
        parent = tokens[-1]["children"] if heading.level > 2 and tokens else tokens
        parent.append(token)
    return get_toc([top])


def _behind_own_templates(config: MkDocsConfig) -> int:
    """A shop's own template folder comes first, ours behind it."""
    return 1 if config.theme.custom_dir else 0


def _set_theme(config: MkDocsConfig) -> None:
    """What keeps pages small and requests at home."""
    theme = config.theme
    theme["font"] = False
    theme["features"] = sorted(
        {*(theme.get("features") or []), "navigation.prune", "navigation.top", "toc.follow"}
    )
    if not theme.get("palette"):
        light = {
            "media": "(prefers-color-scheme: light)", "scheme": "default", "primary": "custom",
            "accent": "custom", "toggle": {"icon": "material/weather-night", "name": "Dark"},
        }  # fmt: skip
        dark = {
            **light, "media": "(prefers-color-scheme: dark)", "scheme": "slate",
            "toggle": {"icon": "material/weather-sunny", "name": "Light"},
        }  # fmt: skip
        theme["palette"] = [light, dark]
