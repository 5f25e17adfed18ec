"""Tool tips of text that users or files supply: names must never be read as markup."""

from __future__ import annotations

from html import escape


def tool_tip(*lines: str) -> str:
    """Lines as a tool tip that wraps; empty ones are left out."""
    return "<qt>" + "<br>".join(escape(line) for line in lines if line) + "</qt>"
