"""The MkDocs plugin `halfsplit`: adds the pages of a shop to a site, and nothing but adding.

Which pages there are, what they say and who may see them is settled in `kb` before MkDocs has read a
single file. The shop's records lie outside `docs_dir`; Markdown that lies in it is not made a page.
"""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import escape
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.toc import get_toc

from halfsplit_mkdocs.compiled import COMPILED
from halfsplit_mkdocs.frames import TOP, Frame, content, stand_ins, tells_of_a_stand_in
from halfsplit_mkdocs.writing import FRAME_STYLE, frame_style, log, write_site
from kb.fresh_site import FreshSite
from kb.handbook import handbook_folder
from kb.pages import Page as KbPage
from kb.pages import PageSet, relative
from kb.shop_site import nothing_written, pages_of_shop

if TYPE_CHECKING:
    from collections.abc import Iterable

    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.pages import Page
    from mkdocs.structure.toc import TableOfContents, _TocToken
    from mkdocs.utils.templates import TemplateContext

    from kb.problems import Problem

# The theme's own search needs a worker and, from the disk, a script of another host. Ours replaces it.
_UNUSED_THEME_FILES = ("assets/javascripts/lunr/", "assets/javascripts/workers/")
# Sources of the theme for its makers, full of addresses of other hosts.
_SOURCE_MAPS = (".js.map", ".css.map")


class BrokenRecords(PluginError):  # noqa: N818 - it says what is wrong
    """The shop cannot be made a site; `problems` are all the reasons."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(nothing_written(self.problems))


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
        self.root = (base / self.config.shop).resolve()
        self.static = Path(config.docs_dir)
        self.page_set = self._page_set()
        # The theme prints the name escaped in some places and as it is in others; this is right in both.
        config.site_name = escape(self.page_set.name)
        # Pages must open from the disk, where a folder has no index page of its own.
        config.use_directory_urls = False
        config.theme.dirs.insert(_behind_own_templates(config), str(Path(__file__).parent / "templates"))
        _set_theme(config)
        config.extra_css[:0] = [*self.page_set.styles, FRAME_STYLE]
        config.extra_javascript[:0] = list(self.page_set.scripts)
        config.nav = [{section.title: _source_of(section.path)} for section in self.page_set.sections]
        config.watch.extend(
            str(folder) for folder in (self.root, handbook_folder()) if str(folder) not in config.watch
        )
        self._choose_pages(config)
        logging.getLogger("mkdocs.commands.build").addFilter(_is_worth_a_line)
        return config

    def _choose_pages(self, config: MkDocsConfig) -> None:
        """What MkDocs makes: a stand-in for each form of page, or every page where others have a say."""
        self.paths = frozenset(each.path for each in self.page_set.sections)
        self.frames: dict[str, Frame] = {}
        found = stand_ins(self.page_set.pages, self.page_set.sections)
        self.has_stand_ins = _is_ours_alone(config)
        self.forms = {_source(page): form for form, page in found.items()}
        made = found.values() if self.has_stand_ins else self.page_set.pages
        self.by_source = {_source(page): page for page in made}

    def _page_set(self) -> PageSet:
        page_set, problems = pages_of_shop(self.root)
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
        for source, page in self.by_source.items():
            level = InclusionLevel.INCLUDED if page.path in self.paths else InclusionLevel.NOT_IN_NAV
            files.append(File.generated(config, source, content="", inclusion=level))
        if not self.has_stand_ins:
            for asset in self.page_set.assets:
                files.append(File.generated(config, asset.path, content=asset.content))
            files.append(File.generated(config, FRAME_STYLE, content=frame_style()))
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
        return made.body if self.has_stand_ins else content(made)

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
        """Compile no template twice in a process; and see which files of others MkDocs is about to copy."""
        del config
        self.files = [
            (file.dest_uri, file.abs_src_path)
            for file in files
            if file.abs_src_path and not file.is_documentation_page() and _is_copied(file)
        ]
        env.bytecode_cache = COMPILED
        return env

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Keep the frame of a stand-in, of which nothing is written but for the page of a section."""
        del config
        if not self.has_stand_ins:
            return output
        form = self.forms[page.file.src_uri]
        self.frames[form] = frame = Frame.of(output)
        return "".join(frame.around(each) for each in self.page_set.pages if each.path == form)

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write what the stand-ins stood in for."""
        if self.has_stand_ins:
            with FreshSite(Path(config.site_dir)) as site:
                write_site(self.page_set, self.frames, site)

    def on_post_template(self, output_content: str, *, template_name: str, config: MkDocsConfig) -> str:
        """No site map: it would carry the day of the build, and this site is not for search engines.

        No page for wrong addresses either: its links only lead somewhere at the root of a web server.
        """
        del config
        return "" if template_name in ("sitemap.xml", "404.html") else output_content


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
    top: _TocToken = {"level": 1, "id": TOP, "name": escape(page.title), "children": tokens}
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


def _is_worth_a_line(record: logging.LogRecord) -> bool:
    return not tells_of_a_stand_in(record.getMessage())


def _is_copied(file: File) -> bool:
    return bool(file.inclusion.is_included())  # type: ignore[no-untyped-call]


def _is_ours_alone(config: MkDocsConfig) -> bool:
    """Whether nobody else has a say in what a page looks like."""
    others = config.hooks or config.theme.custom_dir or config.extra_templates
    return set(config.plugins) == {"halfsplit"} and not others


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
