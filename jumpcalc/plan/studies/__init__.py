"""What takes many solves: two lines side by side, other sizes, the pocket card, a landing explained."""
