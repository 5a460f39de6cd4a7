"""What a drawing shows, as numbers: nothing is decided here."""
