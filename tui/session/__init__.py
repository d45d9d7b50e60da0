"""What lasts of a session: settings, autosave, notes and reading sets, exports, the report. No Textual in here."""
