"""The command line: one file a command, results on standard output, everything else on standard error."""
