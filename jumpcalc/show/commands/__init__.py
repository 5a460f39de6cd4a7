"""The commands, one a file: `add` puts its words into the parser, `run` answers with the text to print."""
