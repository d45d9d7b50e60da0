"""The bench in plain sentences: for screen readers, dumb terminals and pipes. Nothing here imports a terminal library."""
