"""What is given: one declaration an input, the frozen Line made of them, and the defaults filled in."""
