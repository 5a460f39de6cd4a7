"""Which jump fits a hill and its riders: candidates in batches, those that nothing beats, proposals that the full answer confirms."""
