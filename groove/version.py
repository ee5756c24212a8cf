"""The version of groove."""

from __future__ import annotations

__version__ = "0.2.0"
