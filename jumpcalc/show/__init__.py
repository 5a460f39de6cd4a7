"""Paper and screens: shows inputs and answers, computes nothing."""
