"""What takes many solves: two lines side by side, other sizes, what carries from jump to jump, the pocket card, a landing explained."""
