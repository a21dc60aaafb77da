"""Fume: what gas a step gives, how fast, and what the room, the fan or the hood makes of it."""

from __future__ import annotations

from refinekit.bench.fume_limits import Limit, alarm_line, limits, short_limit

__all__ = ["Limit", "alarm_line", "limits", "short_limit"]
