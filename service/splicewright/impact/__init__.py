"""What answers differ between two stacks of rules, and by which change."""
