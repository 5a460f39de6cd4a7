"""What is said: verdicts, reasons, cautions, and numbers as a person reads them.

Functions here give templates with typed values (`said`), which know no units; a `Reader` (`numbers`) turns them into text
where they are shown.
"""
