"""At the spot: speeds from what is at hand, the check before a jump, what rolling out teaches, the log of tries and what it teaches."""
