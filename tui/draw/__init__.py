"""Drawing in character cells: planes of characters and inks, charts, symbols, plants. Nothing here knows Textual."""
