"""How Sphinx builds the documentation from these pages and from the docstrings: python3 tasks.py docs."""

from __future__ import annotations

import re
from types import FunctionType, ModuleType
from typing import Any

from docutils import nodes
from latex2mathml.converter import convert
from pygments.lexers import TextLexer
from sphinx.addnodes import pending_xref
from sphinx.application import Sphinx
from sphinx.ext.autosummary import import_by_name
from sphinx.transforms import SphinxTransform

project = "clutchwright"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.autosummary", "sphinx.ext.napoleon"]
myst_enable_extensions = ["deflist", "dollarmath"]
myst_heading_anchors = 3

default_role = "code"
add_module_names = False
autodoc_default_options = {"members": True, "ignore-module-all": True}
autodoc_member_order = "bysource"
autodoc_preserve_defaults = True
autodoc_type_aliases = {"Array": "Array", "Number": "Number"}
napoleon_use_param = False
napoleon_use_rtype = False
templates_path = ["templates"]
nitpick_ignore_regex = [
    ("py:.*", r"(?!clutchwright\.).*"),  # names of other projects, whose pages are on other machines
    ("py:.*", r"clutchwright\.(manybikes|report|tomlfile)\b.*"),  # parts that the reference leaves out
]

html_theme = "furo"
html_title = "Clutchwright"
html_static_path = ["static"]
html_css_files = ["site.css"]
html_math_renderer = "mathml"
html_show_search_summary = False  # it would be fetched, which browsers forbid to pages opened from the disk
html_show_sphinx = False
html_show_copyright = False
html_copy_source = False

DOTTED = re.compile(r"clutchwright(\.\w+)+")


def home(name: str) -> str:
    """Name by which the reference has what can be imported by a name: where it is made; a constant by its module."""
    _, found, parent, module = import_by_name(name)
    if isinstance(found, type | FunctionType):
        return f"{found.__module__}.{found.__qualname__}"
    return name if isinstance(found, ModuleType) or isinstance(parent, type) else module


class LinkNames(SphinxTransform):
    """A dotted name of the package in backticks leads to what the reference says of it."""

    default_priority = 500

    def apply(self, **_: Any) -> None:
        """Wrap each such name in a reference."""
        for literal in list(self.document.findall(nodes.literal)):
            if DOTTED.fullmatch(literal.astext()) and not isinstance(literal.parent, pending_xref):
                place = {
                    "refdomain": "py",
                    "reftype": "obj",
                    "reftarget": home(literal.astext()),
                    "refdoc": self.env.docname,
                }
                literal.replace_self(pending_xref("", literal.deepcopy(), **place))


def inline_formula(self: Any, node: nodes.math) -> None:
    """Write a formula in a line of text."""
    self.body.append(convert(node.astext()))
    raise nodes.SkipNode


def displayed_formula(self: Any, node: nodes.math_block) -> None:
    """Write a formula on a line of its own."""
    self.body.append(f'<div class="formula">{convert(node.astext(), display="block")}</div>')
    raise nodes.SkipNode


def dash(_app: Sphinx, what: str, _name: str, _thing: object, _options: object, lines: list[str]) -> None:
    """Keep the words before a colon in a property's docstring from being taken for its type."""
    if what == "property":
        lines[0] = lines[0].replace(":", " \N{EN DASH}")


def setup(app: Sphinx) -> None:
    """Add formulas as MathML, which browsers show by themselves, and links from names to the reference."""
    app.add_html_math_renderer("mathml", (inline_formula, None), (displayed_formula, None))
    app.add_transform(LinkNames)
    app.add_lexer("csv", TextLexer)
    app.connect("autodoc-process-docstring", dash, priority=400)  # before the docstring's sections are read
