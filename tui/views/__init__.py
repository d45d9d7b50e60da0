"""Textual widgets: thin skins over ``tui.draw``."""
