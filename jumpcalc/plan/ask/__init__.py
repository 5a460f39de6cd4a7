"""The questions that riders, builders and coaches ask of one jump or one line, one a file."""
