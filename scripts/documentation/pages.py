"""A page of the repository as HTML: links led on, keys and commands linked, tables and code in reach."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from html import escape
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token
from scripts.documentation.contents import Page, address_of
from scripts.documentation.words import Heading, keys_in, slug

COMMANDS = "docs/guide/commands.md"
NO_HEADS = re.compile(r"<thead>\s*<tr>\s*(?:<th></th>\s*)+</tr>\s*</thead>\n?")


@dataclass
class Site:
    """What a page may link to, and what has to be taken along for it."""

    root: Path
    pages: dict[str, Page]  # by source
    sources: dict[str, str]  # what each key stands for
    commands: dict[str, str] = field(default_factory=dict)  # slug of the section of each command
    files: set[str] = field(default_factory=set)  # of the repository, linked to and taken along
    named: dict[str, set[str]] = field(default_factory=dict)  # pages that name a key, by address


def read_headings(page: Page, text: str) -> None:
    """The page's headings and title, before anything links to them."""
    taken: set[str] = set()
    tokens = _parser().parse(text)
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            said = _plain(tokens[at + 1])
            page.headings.append(Heading(int(token.tag[1]), said, slug(said, taken)))
    page.title = page.headings[0].text if page.headings else page.source


def write(page: Page, text: str, site: Site) -> None:
    """The page's HTML."""
    parser = _parser()
    tokens = parser.parse(text)
    headings = iter(page.headings)
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            token.attrSet("id", next(headings).slug)
        if token.type == "inline":
            heading = tokens[at - 1].type == "heading_open"
            token.children = _linked(token.children or [], page, site, heading)
    html = _in_reach(parser.renderer.render(tokens, parser.options, {}))
    page.html = re.sub(r'<img src="([^"]+)"[^>]*>', lambda found: _picture(found[0], found[1], site), html)


def _parser() -> MarkdownIt:
    return MarkdownIt("commonmark", {"html": False}).enable("table")


def _plain(inline: Token) -> str:
    return "".join(child.content for child in inline.children or [] if child.type in ("text", "code_inline"))


def _linked(children: list[Token], page: Page, site: Site, heading: bool) -> list[Token]:
    told: list[Token] = []
    inside = False  # a link
    for child in children:
        if child.type == "link_open":
            inside = True
            _lead(child, "href", page, site)
        elif child.type == "link_close":
            inside = False
        elif child.type == "image":
            _lead(child, "src", page, site)
        free = not inside and not heading
        if free and child.type == "text":
            told += _with_keys(child, page, site)
        elif free and child.type == "code_inline":
            told += _with_command(child, page, site)
        else:
            told.append(child)
    return told


def _lead(token: Token, name: str, page: Page, site: Site) -> None:
    """A link inside the repository as one of the site; a folder's leads to its page."""
    target = str(token.attrs[name])
    if re.match(r"[a-z]+:", target):
        token.attrSet("rel", "noreferrer")
        return
    path, _, anchor = target.partition("#")
    if not path:
        return
    where = posixpath.normpath(posixpath.join(posixpath.dirname(page.source), path))
    for source in (where, f"{where}/README.md"):
        if source in site.pages:
            token.attrSet(name, relative(site.pages[source].address, page) + (f"#{anchor}" if anchor else ""))
            return
    if (site.root / where).is_file():
        site.files |= {one for one in (where, _phone(where)) if (site.root / one).is_file()}
        token.attrSet(name, relative(f"files/{where}", page))
    else:  # a folder: its first page, else the page that lists all headings
        first = next((one.address for one in site.pages.values() if one.source.startswith(f"{where}/")), "")
        token.attrSet(name, relative(first or "headings.html", page))


def relative(address: str, page: Page) -> str:
    """An address of the site as seen from a page."""
    return posixpath.relpath(address, posixpath.dirname(page.address) or ".")


def _with_keys(token: Token, page: Page, site: Site) -> list[Token]:
    text, told, at = token.content, [], 0
    for start, end, key in keys_in(text, set(site.sources)):
        site.named.setdefault(key, set()).add(page.address)
        told += [_text(text[at:start]), *_link(_text(key), f"{page.up}sources.html#{key}", site.sources[key])]
        at = end
    return [*told, _text(text[at:])] if told else [token]


def _with_command(token: Token, page: Page, site: Site) -> list[Token]:
    name = token.content
    while name and name not in site.commands:
        name = name.rpartition(" ")[0]
    if not name or page.source == COMMANDS:
        return [token]
    commands = relative(address_of(COMMANDS), page)
    return _link(token, f"{commands}#{site.commands[name]}")


def _text(content: str) -> Token:
    return Token("text", "", 0, content=content)


def _link(inner: Token, address: str, title: str = "") -> list[Token]:
    opened = Token("link_open", "a", 1, attrs={"href": address, **({"title": title} if title else {})})
    return [opened, inner, Token("link_close", "a", -1)]


def _in_reach(html: str) -> str:
    """Tables and code that are wider than a phone scroll by keyboard too, and say what they are."""
    numbered = _numbered("Table")
    html = NO_HEADS.sub("", html).replace("<th></th>", "<td></td>")
    html = re.sub(
        "<table>",
        lambda _: f'<div class="wide" role="region" tabindex="0" aria-label="{numbered()}"><table>',
        html,
    )
    return html.replace("</table>", "</table></div>").replace("<pre>", '<pre tabindex="0">')


def _phone(file: str) -> str:
    """Where the drawing of a picture for a phone lies, if there is one."""
    stem, dot, kind = file.rpartition(".")
    return f"{stem}-phone{dot}{kind}"


def _picture(image: str, address: str, site: Site) -> str:
    """A picture that was drawn for a phone as well shows that one there; a wide one is never made small."""
    small = _phone(address)
    if small.rpartition("files/")[2] not in site.files:
        return image
    return f'<picture><source media="(max-width: 600px)" srcset="{small}">{image}</picture>'


def _numbered(word: str) -> Callable[[], str]:
    many = 0

    def name() -> str:
        nonlocal many
        many += 1
        return f"{word} {many}"

    return name


def sources_html(site: Site, page: Page) -> str:
    """The bibliography: each key with what it stands for and the pages that name it."""
    titles = {one.address: one.title for one in site.pages.values()}
    rows = []
    for key, cite in sorted(site.sources.items()):
        where = sorted(site.named.get(key, ()), key=lambda address: titles[address])
        links = ", ".join(f'<a href="{relative(a, page)}">{escape(titles[a])}</a>' for a in where)
        said = f" <span>Named in {links}.</span>" if links else ""
        rows.append(f'<dt id="{escape(key)}">{escape(key)}</dt><dd>{escape(cite)}{said}</dd>')
    return (
        f"<h1>{page.title}</h1><p>Every source that a figure, a rule, a caution or a page names, by its key. "
        "How it was read stands with each figure, not here.</p>"
        f'<dl class="sources">{"".join(rows)}</dl>'
    )


def headings_html(site: Site, page: Page) -> str:
    """Every heading of every page, to be searched with the browser's own search."""
    parts = []
    for one in site.pages.values():
        links = "".join(
            f'<li><a href="{relative(one.address, page)}#{h.slug}">{escape(h.text)}</a></li>'
            for h in one.headings
            if h.rank in (2, 3)
        )
        head = f'<h2><a href="{relative(one.address, page)}">{escape(one.title)}</a></h2>'
        parts.append(f"{head}<ul>{links}</ul>" if links else head)
    lead = "<p>Every heading of every page; your browser's own search finds a word among them.</p>"
    return f"<h1>{page.title}</h1>{lead}{''.join(parts)}"
