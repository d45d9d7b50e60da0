"""Screens and dialogs."""
