"""At the spot: speeds from what is at hand, the check before a jump, and what rolling out teaches."""
