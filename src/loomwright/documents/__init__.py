"""What goes on paper or screen as text: reports and lists from a checked plan. No sums here."""
